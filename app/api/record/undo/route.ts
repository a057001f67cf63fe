import { actorOf } from '@/lib/access/session/actor'
import { keyOf } from '@/lib/custody/event'
import { nowIn } from '@/lib/custody/handTime'
import { canonical } from '@/lib/custody/kitCode'
import { problemReply } from '@/lib/intake/answers/reply'
import { readWireEvent } from '@/lib/intake/formats/wireEvent'
import { mayRecord } from '@/lib/policy/mayRecord'
import { type Person, scopeOf } from '@/lib/policy/principal'
import { sampleDossier } from '@/lib/store/read/sample/sampleDossier'
import type { Actor } from '@/lib/store/scope/audit'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { acceptByHand, recordedBefore, shortOf, writerOf } from '../acceptByHand'
import { onlyPerson } from '../onlyPerson'
import { answerTo, isToken, NO_TOKEN, type Outcome } from '../outcome'
import { pagePath } from '../pagePath'
import { type Submission, submissionOf } from '../submission'

const MOST_AT_ONCE = 100

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

async function withdrawnBy(
  person: Person,
  actor: Actor,
  submission: Submission,
  now: number,
): Promise<Outcome> {
  const token = submission.one('token')
  const samples = submission.all('sample').map(canonical)
  const keys = submission.all('event')
  const count = samples.length
  if (count === 0 || count !== keys.length || count > MOST_AT_ONCE) return { kind: 'absent' }
  const found: { code: string; key: string; zone: string; isOut: boolean }[] = []
  for (const [index, code] of samples.entries()) {
    const key = keys[index] as string
    const dossier = await sampleDossier(sharedPool(), scopeOf(person), code, now)
    const placed = dossier?.sample.events.find(({ event }) => keyOf(event) === key)
    if (!dossier || !placed) return { kind: 'absent' }
    if (!mayRecord(person, placed.event.kind, dossier.sample.kit))
      return { kind: 'not theirs', detail: `“${placed.event.kind}” of this sample is not yours to take out.` }
    found.push({ code, key, zone: dossier.plant.zone, isOut: placed.correctedBy.length > 0 })
  }
  const before = await recordedBefore(person, token, now)
  if (before.length > 0) return { kind: 'already known', token, events: before.map(({ key }) => key) }
  if (found.every(({ isOut }) => isOut))
    return { kind: 'refused', faults: [{ field: 'corrects', detail: 'It is out of the count already.' }] }
  const reason = submission.one('reason').trim()
  return acceptByHand(
    person,
    { actor, token, what: 'withdrew by hand' },
    (register) =>
      found.map(({ code, key, zone }) => {
        const { source, id } = writerOf(person, token, shortOf(key))
        const read = readWireEvent(
          {
            source,
            id,
            sample: code,
            kind: 'withdrawn',
            at: nowIn(zone, now),
            zone,
            corrects: key,
            facts: reason === '' ? undefined : { reason },
          },
          (place) => register.zoneOfPlace(place),
        )
        return 'event' in read
          ? read
          : { faults: read.faults.map(({ detail }) => ({ field: 'reason' as const, detail })) }
      }),
    now,
  )
}
