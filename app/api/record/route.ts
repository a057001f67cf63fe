import { toReceivingParams } from '@/app/receiving/receivingParams'
import { toActor } from '@/lib/access/session/actor'
import { redirect303 } from '@/lib/access/session/signIn'
import { toCanonical } from '@/lib/custody/kitCode'
import { EVENT_FORM_FIELDS, type EventFormValues, readEventForm } from '@/lib/intake/hand/eventForm'
import { authorize } from '../authorize'
import { withErrorHandling } from '../withErrorHandling'
import { recordEvents } from './recordEvents'
import { recordReceipts } from './recordReceipts'
import { getReturnPath, type Outcome, readSubmission, respondWithOutcome } from './submission'

/** Records by hand what happened to one kit or several: one event for each, all or none. */
export const POST = withErrorHandling(async (request: Request) => {
  const hand = await readSubmission(await authorize('POST /api/record', request), request)
  if (hand instanceof Response) return hand
  const { person, submission } = hand
  const form = readEventForm((field) =>
    // A ruling can be on several findings: one a line.
    field === 'on' ? submission.getAll(field).join('\n') : submission.get(field),
  )
  const codes = submission.getAll('sample')
  const isDesk = submission.get('from') === 'receiving'
  // Without scripts, the buttons of the receiving page that record nothing come here with all that was typed.
  const press = submission.get('press')
  if (isDesk && submission.isForm && press !== '')
    return redirect303(`/receiving?${toReceivingParams(submission, form, press)}#record`)
  const record = form.kind === 'received' ? recordReceipts : recordEvents
  const outcome = await record(person, toActor(person, request), submission, form, Date.now())
  return respondWithOutcome(outcome, submission, {
    path: getReturnPath(submission.get('from'), codes[0] ?? '', submission.get('plant')),
    typed: isDesk ? toReceivingParams(submission, form, null) : toSearchParams(form, codes, outcome),
    anchor: 'record',
  })
})

/** What was typed, as the page reads it from its address. */
function toSearchParams(form: EventFormValues, codes: readonly string[], outcome: Outcome): URLSearchParams {
  const typed = new URLSearchParams({ record: form.kind })
  for (const field of EVENT_FORM_FIELDS)
    if (field !== 'kind' && form[field] !== '') typed.set(field, form[field])
  if (form.corrects !== '') typed.set('change', form.corrects)
  // The page of many samples does not ask each what is against it.
  if (outcome.kind === 'refused' && outcome.faults.some(({ field }) => field === 'confirm'))
    typed.set('asked', 'yes')
  for (const code of codes) typed.append('tick', toCanonical(code))
  typed.set('typed', 'yes')
  return typed
}
