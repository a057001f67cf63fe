import { actorOf } from '@/lib/access/session/actor'
import { keyOf } from '@/lib/custody/event'
import { canonical } from '@/lib/custody/kitCode'
import { canBeMoved } from '@/lib/custody/placing'
import { problemReply } from '@/lib/intake/answers/reply'
import { type Person, scopeOf } from '@/lib/policy/principal'
import { sampleDossier } from '@/lib/store/read/sample/sampleDossier'
import type { Actor } from '@/lib/store/scope/audit'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { acceptByHand, recordedBefore, shortOf, writerOf } from '../acceptByHand'
import { movedEvent } from '../movedEvent'
import { moveFaults } from '../moveFaults'
import { onlyPerson } from '../onlyPerson'
import { answerTo, isToken, NO_TOKEN, type Outcome } from '../outcome'
import { pagePath } from '../pagePath'
import { type Submission, submissionOf } from '../submission'

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

async function movedBy(person: Person, actor: Actor, submission: Submission, now: number): Promise<Outcome> {
  const token = submission.one('token')
  const dossier = await sampleDossier(sharedPool(), scopeOf(person), submission.one('sample'), now)
  if (!dossier) return { kind: 'absent' }
  const before = await recordedBefore(person, token, now)
  if (before.length > 0) return { kind: 'already known', token, events: before.map(({ key }) => key) }
  const keys = submission.all('event')
  const moving = dossier.sample.events.filter(
    (placed) => keys.includes(keyOf(placed.event)) && canBeMoved(placed),
  )
  const to = canonical(submission.one('kit'))
  const reason = submission.one('reason').trim()
  const faults = await moveFaults(person, dossier.row.code, to, reason, now)
  if (moving.length === 0 || moving.length < new Set(keys).size)
    faults.push({ field: 'kind', detail: 'Tick the events to move, of those that still count.' })
  if (faults.length > 0) return { kind: 'refused', faults }
  return acceptByHand(
    person,
    { actor, token, what: 'moved to another kit', more: { from: dossier.row.code, reason } },
    (register) =>
      moving.map(({ event }) =>
        movedEvent(event, { sample: to, reason }, writerOf(person, token, shortOf(keyOf(event))), register),
      ),
    now,
  )
}
