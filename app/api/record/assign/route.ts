import { actorOf } from '@/lib/access/session/actor'
import { problemReply } from '@/lib/intake/answers/reply'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { answerTo, isToken, NO_TOKEN, onlyPerson, pagePath, submissionOf } from '../handForm'
import { assignedBy, kitNamed } from '../moves'

/**
 * Gives an event that fits no sample to a kit: it is reported anew with the kit's code, or, where it speaks of a
 * consignment, with the waybill under which the kit was handed over.
 */
export const POST = answering(async (request: Request) => {
  const person = onlyPerson(await asked('POST /api/record/assign', request))
  if (person instanceof Response) return person
  const submission = await submissionOf(request)
  if (submission instanceof Response) return submission
  if (!isToken(submission.one('token'))) return problemReply(NO_TOKEN)
  const outcome = await assignedBy(person, actorOf(person, request), submission, Date.now())
  const isDone = outcome.kind === 'recorded' || outcome.kind === 'already known'
  const kit = kitNamed(submission)
  return answerTo(outcome, submission, {
    path: isDone ? pagePath('', kit, '') : '/unplaced',
    typed: new URLSearchParams({ assign: submission.one('event'), to: kit, why: submission.one('reason') }),
    anchor: 'assign',
  })
})
