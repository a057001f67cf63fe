import { actorOf } from '@/lib/access/session/actor'
import type { ReadEvent } from '@/lib/custody/event'
import { canonical } from '@/lib/custody/kitCode'
import { problemReply } from '@/lib/intake/answers/reply'
import { type Person, scopeOf } from '@/lib/policy/principal'
import { unplacedEvent } from '@/lib/store/read/unplaced/unplacedEvents'
import type { Actor } from '@/lib/store/scope/audit'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { acceptByHand, recordedBefore, shortOf, writerOf } from '../acceptByHand'
import { consignmentOf, NO_CONSIGNMENT } from '../consignmentOf'
import { movedEvent } from '../movedEvent'
import { moveFaults } from '../moveFaults'
import { onlyPerson } from '../onlyPerson'
import { answerTo, isToken, NO_TOKEN, type Outcome } from '../outcome'
import { pagePath } from '../pagePath'
import { type Submission, submissionOf } from '../submission'

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

async function assignedBy(
  person: Person,
  actor: Actor,
  submission: Submission,
  now: number,
): Promise<Outcome> {
  const token = submission.one('token')
  const before = await recordedBefore(person, token, now)
  if (before.length > 0) return { kind: 'already known', token, events: before.map(({ key }) => key) }
  const key = submission.one('event')
  const event = await unplacedEvent(sharedPool(), scopeOf(person), key, now)
  if (!event) return { kind: 'absent' }
  const to = canonical(kitNamed(submission))
  const reason = submission.one('reason').trim()
  const faults = await moveFaults(person, event.sample ?? '', to, reason, now)
  if (faults.length > 0) return { kind: 'refused', faults }
  const move = event.sample === null ? await consignmentOf(person, to, now) : { sample: to }
  if (move === null) return { kind: 'refused', faults: [NO_CONSIGNMENT] }
  return acceptByHand(
    person,
    { actor, token, what: 'assigned to a kit', more: { from: fromOf(event), kit: to, reason } },
    (register) => [movedEvent(event, { ...move, reason }, writerOf(person, token, shortOf(key)), register)],
    now,
  )
}

/** The kit that was written, else the one that was chosen among the likely ones. */
function kitNamed(submission: Submission): string {
  return submission.one('otherKit').trim() || submission.one('kit')
}

function fromOf(event: ReadEvent): string {
  return event.sample ?? `${event.service} ${event.waybill}`
}
