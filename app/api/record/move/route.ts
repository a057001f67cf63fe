import { actorOf } from '@/lib/access/session/actor'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { answerTo, handSubmission, pagePath } from '../handForm'
import { movedBy } from '../moves'

/** Says that events of one kit belong to another: each is reported anew of the other, all in one act, with a reason. */
export const POST = answering(async (request: Request) => {
  const hand = await handSubmission(await asked('POST /api/record/move', request), request)
  if (hand instanceof Response) return hand
  const { person, submission } = hand
  const outcome = await movedBy(person, actorOf(person, request), submission, Date.now())
  const isDone = outcome.kind === 'recorded' || outcome.kind === 'already known'
  const typed = new URLSearchParams({ move: 'yes', to: submission.one('kit'), why: submission.one('reason') })
  for (const key of submission.all('event')) typed.append('moving', key)
  return answerTo(outcome, submission, {
    path: pagePath('', submission.one(isDone ? 'kit' : 'sample'), ''),
    typed,
    anchor: 'move',
  })
})
