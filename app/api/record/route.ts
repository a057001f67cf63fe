import { actorOf } from '@/lib/access/session/actor'
import { isEventKind, keyOf, type ReadEvent } from '@/lib/custody/event'
import { canonical } from '@/lib/custody/kitCode'
import { problemReply } from '@/lib/intake/answers/reply'
import { readHandEvent } from '@/lib/intake/hand/handEvent'
import { HAND_FIELDS, type HandForm, handFormOf } from '@/lib/intake/hand/handFields'
import { mayRecord } from '@/lib/policy/mayRecord'
import { type Person, scopeOf } from '@/lib/policy/principal'
import { seenKits } from '@/lib/store/read/sample/byHand'
import { sampleDossier } from '@/lib/store/read/sample/sampleDossier'
import type { Actor } from '@/lib/store/scope/audit'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../answering'
import { asked } from '../asked'
import { acceptByHand, recordedBefore, writerOf } from './acceptByHand'
import { onlyPerson } from './onlyPerson'
import { answerTo, isToken, NO_TOKEN, type Outcome } from './outcome'
import { pagePath } from './pagePath'
import { type Submission, submissionOf } from './submission'

/** The most kits that one act speaks of. */
const MOST_AT_ONCE = 100

/** Records by hand what happened to one kit, or to several at once: one event for each, all of them or none. */
export const POST = answering(async (request: Request) => {
  const person = onlyPerson(await asked('POST /api/record', request))
  if (person instanceof Response) return person
  const submission = await submissionOf(request)
  if (submission instanceof Response) return submission
  if (!isToken(submission.one('token'))) return problemReply(NO_TOKEN)
  const form = handFormOf((field) => submission.one(field))
  const outcome = await recordedBy(person, actorOf(person, request), submission, form, Date.now())
  const codes = submission.all('sample')
  const path = pagePath(submission.one('from'), codes[0] ?? '', submission.one('plant'))
  return answerTo(outcome, submission, { path, typed: typedIn(form, codes), anchor: 'record' })
})

async function recordedBy(
  person: Person,
  actor: Actor,
  submission: Submission,
  form: HandForm,
  now: number,
): Promise<Outcome> {
  const token = submission.one('token')
  const codes = [...new Set(submission.all('sample').map(canonical))]
  if (codes.length === 0)
    return { kind: 'refused', faults: [{ field: 'kind', detail: 'Tick at least one sample.' }] }
  if (codes.length > MOST_AT_ONCE)
    return {
      kind: 'refused',
      faults: [{ field: 'kind', detail: `Tick at most ${MOST_AT_ONCE} samples at once.` }],
    }
  const kits = await seenKits(sharedPool(), scopeOf(person), codes, now)
  if (kits.length < codes.length) return { kind: 'absent' }
  const { kind } = form
  if (isEventKind(kind) && kits.some((kit) => !mayRecord(person, kind, kit)))
    return { kind: 'not theirs', detail: `“${kind}” of this sample is not yours to record.` }
  const before = await recordedBefore(person, token, now)
  const known = before.filter(({ sample }) => codes.includes(sample ?? ''))
  if (known.length === codes.length)
    return { kind: 'already known', token, events: known.map(({ key }) => key) }
  const corrected = form.corrects === '' ? null : await correctable(person, form.corrects, codes, now)
  if (form.corrects !== '' && corrected?.kind !== kind) return { kind: 'absent' }
  return acceptByHand(
    person,
    { actor, token, what: form.corrects === '' ? 'recorded by hand' : 'corrected by hand' },
    (register) =>
      kits.map((kit) =>
        readHandEvent(
          form,
          { ...kit, carried: corrected?.facts ?? null },
          writerOf(person, token, kit.code),
          (place) => register.zoneOfPlace(place),
          now,
        ),
      ),
    now,
  )
}

/** The event that a person corrects: on the one sample they speak of, and of a kind that they may report. */
async function correctable(
  person: Person,
  key: string,
  codes: readonly string[],
  now: number,
): Promise<ReadEvent | null> {
  if (codes.length !== 1) return null
  const dossier = await sampleDossier(sharedPool(), scopeOf(person), codes[0] as string, now)
  const event = dossier?.sample.events.find((placed) => keyOf(placed.event) === key)?.event
  return dossier && event && mayRecord(person, event.kind, dossier.sample.kit) ? event : null
}

/** What was typed, as the page takes it out of its address again. */
function typedIn(form: HandForm, codes: readonly string[]): URLSearchParams {
  const typed = new URLSearchParams({ record: form.kind })
  for (const field of HAND_FIELDS) if (field !== 'kind' && form[field] !== '') typed.set(field, form[field])
  if (form.corrects !== '') typed.set('change', form.corrects)
  for (const code of codes) typed.append('tick', canonical(code))
  typed.set('typed', 'yes')
  return typed
}
