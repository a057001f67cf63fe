import { toActor } from '@/lib/access/session/actor'
import { authorize } from '../../authorize'
import { withErrorHandling } from '../../withErrorHandling'
import { withdrawEvents } from '../recordEvents'
import { getReturnPath, readSubmission, respondWithOutcome } from '../submission'

/**
 * Takes events out of the count: withdraws each, all or none. Samples and the keys of their events come in pairs, in the
 * same order.
 */
export const POST = withErrorHandling(async (request: Request) => {
  const hand = await readSubmission(await authorize('POST /api/record/undo', request), request)
  if (hand instanceof Response) return hand
  const { person, submission } = hand
  const path = getReturnPath(submission.get('from'), submission.get('sample'), submission.get('plant'))
  const typed = new URLSearchParams({ change: submission.get('event') })
  return respondWithOutcome(
    await withdrawEvents(person, toActor(person, request), submission, Date.now()),
    submission,
    {
      path,
      typed,
      anchor: 'record',
    },
  )
})
