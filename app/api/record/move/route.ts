import { toActor } from '@/lib/access/session/actor'
import { authorize } from '../../authorize'
import { withErrorHandling } from '../../withErrorHandling'
import { moveEvents } from '../moveEvents'
import { getReturnPath, readSubmission, respondWithOutcome } from '../submission'

/** Moves events from one kit to another: each is reported again for the other kit, all or none, with a reason. */
export const POST = withErrorHandling(async (request: Request) => {
  const hand = await readSubmission(await authorize('POST /api/record/move', request), request)
  if (hand instanceof Response) return hand
  const { person, submission } = hand
  const outcome = await moveEvents(person, toActor(person, request), submission, Date.now())
  const isDone = outcome.kind === 'recorded' || outcome.kind === 'already known'
  const typed = new URLSearchParams({ move: 'yes', to: submission.get('kit'), why: submission.get('reason') })
  for (const key of submission.getAll('event')) typed.append('moving', key)
  return respondWithOutcome(outcome, submission, {
    path: getReturnPath('', submission.get(isDone ? 'kit' : 'sample'), ''),
    typed,
    anchor: 'move',
  })
})
