import { formatKeyQuery, parseKeyFields, parseKeyRights, readKeyPlaces } from '@/app/keys/keyFields'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { makeKeyForPerson } from '@/lib/access/keys/newKey'
import { toActor } from '@/lib/access/session/actor'
import { redirect303 } from '@/lib/access/session/signIn'
import { authorize } from '../authorize'
import { readShortBody } from '../shortForm'
import { withErrorHandling } from '../withErrorHandling'

/** Creates a key and leads to the page that shows its secret once. A refused form is shown again. */
export const POST = withErrorHandling(async (request: Request) => {
  const t = await getTranslate()
  const principal = await authorize('POST /api/keys', request)
  if (principal instanceof Response) return principal
  const body = await readShortBody(request)
  if (body instanceof Response) return body
  const fields = parseKeyFields(new URLSearchParams(body))
  const { plants, laboratories } = await readKeyPlaces()
  const known = {
    plants: new Set(plants.map(({ code }) => code)),
    laboratories: new Set(laboratories.map(({ code }) => code)),
  }
  const { rights } = parseKeyRights(t, fields, known, Date.now())
  const ticket =
    rights && principal.kind === 'person'
      ? await makeKeyForPerson(principal, rights, toActor(principal, request))
      : null
  return redirect303(ticket === null ? `/keys/new?${formatKeyQuery(fields)}` : `/keys?made=${ticket}`)
})
