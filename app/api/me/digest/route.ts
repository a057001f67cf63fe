import { atOnceKinds, digestFaults, digestFields } from '@/app/me/digestFields'
import { actorOf } from '@/lib/access/session/actor'
import { leadTo } from '@/lib/access/session/signedIn'
import { setDigestPreference } from '@/lib/store/people/digestPreference'
import { colleagues } from '@/lib/store/people/people'
import { sharedDoor } from '@/lib/store/scope/sharedPool'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { shortForm } from '../../shortForm'

/** Keeps what a person chooses about their mail; where something cannot be, leads back with what was typed. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/me/digest', request)
  if (principal instanceof Response) return principal
  const form = await shortForm(request)
  if (form instanceof Response) return form
  const fields = digestFields(form)
  if (!fields || principal.kind !== 'person') return leadTo('/me')
  const faults = digestFaults(fields, await colleagues(sharedDoor(), principal.id))
  if (Object.keys(faults).length > 0) return leadTo(`/me?${new URLSearchParams({ ...fields })}#weekly`)
  const isAway = fields.standIn !== ''
  const chosen = {
    language: fields.language,
    isWanted: fields.wanted === 'yes',
    wantsQuietLine: fields.quiet === 'yes',
    standInId: isAway ? fields.standIn : null,
    standInFrom: isAway ? fields.from : null,
    standInUntil: isAway ? fields.until : null,
    atOnce: atOnceKinds(fields.atOnce),
  }
  await setDigestPreference(sharedDoor(), principal.id, chosen, actorOf(principal, request), Date.now())
  return leadTo('/me?kept=yes#weekly')
})
