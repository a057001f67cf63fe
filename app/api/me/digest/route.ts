import { parseAlertKinds, parseDigestFields, validateDigestFields } from '@/app/me/digestFields'
import { toActor } from '@/lib/access/session/actor'
import { redirect303 } from '@/lib/access/session/signIn'
import { setDigestPreference } from '@/lib/store/people/digestPreference'
import { listColleagues } from '@/lib/store/people/people'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../../authorize'
import { readShortForm } from '../../shortForm'
import { withErrorHandling } from '../../withErrorHandling'

/** Saves a person's choices about mail. Invalid ones lead back to the form with what was typed. */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/me/digest', request)
  if (principal instanceof Response) return principal
  const form = await readShortForm(request)
  if (form instanceof Response) return form
  const fields = parseDigestFields(form)
  if (!fields || principal.kind !== 'person') return redirect303('/me')
  const faults = validateDigestFields(fields, await listColleagues(getAuthPool(), principal.id))
  if (Object.keys(faults).length > 0) return redirect303(`/me?${new URLSearchParams({ ...fields })}#weekly`)
  const isAway = fields.standIn !== ''
  const chosen = {
    language: fields.language,
    isWanted: fields.wanted === 'yes',
    wantsQuietLine: fields.quiet === 'yes',
    standInId: isAway ? fields.standIn : null,
    standInFrom: isAway ? fields.from : null,
    standInUntil: isAway ? fields.until : null,
    alerts: parseAlertKinds(fields.alerts),
  }
  await setDigestPreference(getAuthPool(), principal.id, chosen, toActor(principal, request), Date.now())
  return redirect303('/me?kept=yes#weekly')
})
