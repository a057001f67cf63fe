import { toActor } from '@/lib/access/session/actor'
import { authorize } from '../../authorize'
import { withErrorHandling } from '../../withErrorHandling'
import { assignEvent, getTargetKit } from '../moveEvents'
import { getReturnPath, readSubmission, respondWithOutcome } from '../submission'

/**
 * Assigns an event that matches no sample to a kit: it is reported again with the kit's code, or, if it is about a
 * consignment, with the waybill under which the kit was handed over.
 */
export const POST = withErrorHandling(async (request: Request) => {
  const hand = await readSubmission(await authorize('POST /api/record/assign', request), request)
  if (hand instanceof Response) return hand
  const { person, submission } = hand
  const outcome = await assignEvent(person, toActor(person, request), submission, Date.now())
  const isDone = outcome.kind === 'recorded' || outcome.kind === 'already known'
  const kit = getTargetKit(submission)
  return respondWithOutcome(outcome, submission, {
    path: isDone ? getReturnPath('', kit, '') : '/unplaced',
    typed: new URLSearchParams({ assign: submission.get('event'), to: kit, why: submission.get('reason') }),
    anchor: 'assign',
  })
})
