import { actorOf } from '@/lib/access/session/actor'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { withdrawnBy } from '../handActs'
import { answerTo, handSubmission, pagePath } from '../handForm'

/**
 * Takes events out of the count: a withdrawal of each, recorded in one act. Samples and the keys of their events come
 * in pairs, in the same order.
 */
export const POST = answering(async (request: Request) => {
  const hand = await handSubmission(await asked('POST /api/record/undo', request), request)
  if (hand instanceof Response) return hand
  const { person, submission } = hand
  const path = pagePath(submission.one('from'), submission.one('sample'), submission.one('plant'))
  const typed = new URLSearchParams({ change: submission.one('event') })
  return answerTo(await withdrawnBy(person, actorOf(person, request), submission, Date.now()), submission, {
    path,
    typed,
    anchor: 'record',
  })
})
