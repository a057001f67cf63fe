import { actorOf } from '@/lib/access/session/actor'
import { problemReply } from '@/lib/intake/answers/reply'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { answerTo, isToken, NO_TOKEN, onlyPerson, pagePath, submissionOf } from '../handForm'
import { movedBy } from '../moves'

/** Says that events of one kit belong to another: each is reported anew of the other, all in one act, with a reason. */
export const POST = answering(async (request: Request) => {
  const person = onlyPerson(await asked('POST /api/record/move', request))
  if (person instanceof Response) return person
  const submission = await submissionOf(request)
  if (submission instanceof Response) return submission
  if (!isToken(submission.one('token'))) return problemReply(NO_TOKEN)
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
