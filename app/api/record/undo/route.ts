import { actorOf } from '@/lib/access/session/actor'
import { problemReply } from '@/lib/intake/answers/reply'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { withdrawnBy } from '../handActs'
import { answerTo, isToken, NO_TOKEN, onlyPerson, pagePath, submissionOf } from '../handForm'

/**
 * Takes events out of the count: a withdrawal of each, recorded in one act. Samples and the keys of their events come
 * in pairs, in the same order.
 */
export const POST = answering(async (request: Request) => {
  const person = onlyPerson(await asked('POST /api/record/undo', request))
  if (person instanceof Response) return person
  const submission = await submissionOf(request)
  if (submission instanceof Response) return submission
  if (!isToken(submission.one('token'))) return problemReply(NO_TOKEN)
  const path = pagePath(submission.one('from'), submission.one('sample'), submission.one('plant'))
  const typed = new URLSearchParams({ change: submission.one('event') })
  return answerTo(await withdrawnBy(person, actorOf(person, request), submission, Date.now()), submission, {
    path,
    typed,
    anchor: 'record',
  })
})
