import { toActor } from '@/lib/access/session/actor'
import { authorize } from '../../authorize'
import { withErrorHandling } from '../../withErrorHandling'
import { getReturnPath, readSubmission, respondWithOutcome } from '../submission'
import { takeBackFault } from '../takeBackFault'
import { withdrawEvents } from '../withdrawEvents'

/**
 * Takes events out of the count: withdraws each, all or none. Samples and the keys of their events come in pairs, in the
 * same order. With `fault`, the key of a finding, it takes that back instead.
 */
export const POST = withErrorHandling(async (request: Request) => {
  const hand = await readSubmission(await authorize('POST /api/record/undo', request), request)
  if (hand instanceof Response) return hand
  const { person, submission } = hand
  const path = getReturnPath(submission.get('from'), submission.get('sample'), submission.get('plant'))
  const fault = submission.get('fault')
  const typed: Record<string, string> =
    fault === ''
      ? { change: submission.get('event'), withdraw: 'yes' }
      : { fault, why: submission.get('reason'), typed: 'yes' }
  const withdraw = fault === '' ? withdrawEvents : takeBackFault
  return respondWithOutcome(
    await withdraw(person, toActor(person, request), submission, Date.now()),
    submission,
    {
      path,
      typed: new URLSearchParams(typed),
      anchor: fault === '' ? 'record' : 'found',
    },
  )
})
