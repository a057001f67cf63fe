import { keyAddress, keyFields, keyPlaces, keyRights } from '@/app/keys/keyFields'
import { makeKeyFor } from '@/lib/access/keys/programmeKeys'
import { actorOf } from '@/lib/access/session/actor'
import { leadTo } from '@/lib/access/session/signedIn'
import { problemReply } from '@/lib/intake/answers/reply'
import { readBody } from '@/lib/intake/formats/readBody'
import { answering } from '../answering'
import { asked } from '../asked'

/** Makes a key as the form asks, and leads to where its secret is shown once; or back to the form, with what is wrong. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/keys', request)
  if (principal instanceof Response) return principal
  const body = await readBody(request)
  if (typeof body !== 'string') return problemReply(body)
  const fields = keyFields(new URLSearchParams(body))
  const { plants, laboratories } = await keyPlaces()
  const known = {
    plants: new Set(plants.map(({ code }) => code)),
    laboratories: new Set(laboratories.map(({ code }) => code)),
  }
  const { rights } = keyRights(fields, known, Date.now())
  if (!rights || principal.kind !== 'person') return leadTo(`/keys/new?${keyAddress(fields)}`)
  const ticket = await makeKeyFor(principal, rights, actorOf(principal, request))
  return leadTo(`/keys?made=${ticket}`)
})
