import { actorOf } from '@/lib/access/session/actor'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { answerTo, handSubmission, pagePath } from '../handForm'
import { assignedBy, kitNamed } from '../moves'

/**
 * Gives an event that fits no sample to a kit: it is reported anew with the kit's code, or, where it speaks of a
 * consignment, with the waybill under which the kit was handed over.
 */
export const POST = answering(async (request: Request) => {
  const hand = await handSubmission(await asked('POST /api/record/assign', request), request)
  if (hand instanceof Response) return hand
  const { person, submission } = hand
  const outcome = await assignedBy(person, actorOf(person, request), submission, Date.now())
  const isDone = outcome.kind === 'recorded' || outcome.kind === 'already known'
  const kit = kitNamed(submission)
  return answerTo(outcome, submission, {
    path: isDone ? pagePath('', kit, '') : '/unplaced',
    typed: new URLSearchParams({ assign: submission.one('event'), to: kit, why: submission.one('reason') }),
    anchor: 'assign',
  })
})
