import { createHash } from 'node:crypto'
import { eventKey, isEventKind, type ReadEvent } from '@/lib/custody/event'
import { formatWithOffset } from '@/lib/custody/handTime'
import { toCanonical } from '@/lib/custody/kitCode'
import type { Register } from '@/lib/custody/register'
import { readWireEvent } from '@/lib/intake/formats/wireEvent'
import type { EventFormValues } from '@/lib/intake/hand/eventForm'
import { type FormFault, parseEventForm } from '@/lib/intake/hand/parseEventForm'
import { english } from '@/lib/messages/english'
import { mayRecord } from '@/lib/policy/mayRecord'
import { getScope, type Person } from '@/lib/policy/principal'
import { getReporter, handSource } from '@/lib/policy/reporting'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { findVisibleKits, listSubmittedEvents, type SubmittedEvent } from '@/lib/store/read/sample/eventForm'
import { getSampleDossier } from '@/lib/store/read/sample/sampleDossier'
import type { Actor } from '@/lib/store/scope/audit'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import type { Outcome, Submission } from './submission'

export type ParsedEvent = { event: ReadEvent } | { faults: FormFault[] }

/**
 * Accepts what a person recorded in one act, all of it or nothing. An event whose key is taken was recorded by the
 * same form before, whatever the time then was: the first stands. `what` names the act in the record.
 */
export async function acceptSubmission(
  person: Person,
  act: { actor: Actor; token: string; what: string; more?: Record<string, unknown> },
  read: (register: Register) => ParsedEvent[],
  now: number,
): Promise<Outcome> {
  const results = await acceptEvents(
    getAppPool(),
    (register) => {
      const items = read(register)
      const isWhole = items.every((item) => 'event' in item)
      return items.map((item) =>
        isWhole && 'event' in item
          ? { event: item.event, faults: [] }
          : { event: null, faults: 'faults' in item ? item.faults : [] },
      )
    },
    getReporter(person),
    now,
    {
      actor: act.actor,
      lines: (accepted) =>
        accepted.map((event) => ({
          what: act.what,
          subject: event.sample,
          after: {
            event: eventKey(event),
            kind: event.kind,
            at: event.at,
            corrects: event.corrects,
            ...act.more,
          },
        })),
    },
  )
  const faults = results.flatMap(({ item }) => item.faults)
  if (faults.length > 0) return { kind: 'refused', faults }
  const isNew = results.some(({ acceptance }) => acceptance === 'accepted' || acceptance === 'unplaced')
  return {
    kind: isNew ? 'recorded' : 'already known',
    token: act.token,
    events: results.flatMap(({ item }) => (item.event ? [eventKey(item.event)] : [])),
  }
}

/** As whom and by which name an event of an act is recorded: `about` is the kit code or, in short, the event that it concerns. */
export function createEventAuthor(person: Person, token: string, about: string) {
  return { source: handSource(person), id: `${token} ${about}`, name: person.name }
}

/** Reads an event as it would come over the wire; what is wrong with it is told beside the reason, the only field typed. */
export function parseManualEvent(event: Record<string, unknown>, register: Register): ParsedEvent {
  const read = readWireEvent(event, (place) => register.getZone(place))
  return 'event' in read
    ? read
    : { faults: read.faults.map(({ detail }) => ({ field: 'reason', detail: english.message(detail) })) }
}

/** A short name of an event that a correction concerns, for the correction's own id. */
export function hashKey(key: string): string {
  return createHash('sha256').update(key).digest('hex').slice(0, 16)
}

/** The keys of what the same form recorded before, if it was sent already. */
export async function findRecordedEvents(
  person: Person,
  token: string,
  now: number,
): Promise<SubmittedEvent[]> {
  return listSubmittedEvents(getAppPool(), getScope(person), handSource(person), token, now)
}

/** The most kits, or events, that one act speaks of. */
const MAX_PER_SUBMISSION = 100

/** Records what a form says of its kits, in one act of a person's. */
export async function recordEvents(
  person: Person,
  actor: Actor,
  submission: Submission,
  form: EventFormValues,
  now: number,
): Promise<Outcome> {
  const token = submission.get('token')
  const codes = [...new Set(submission.getAll('sample').map(toCanonical))]
  if (codes.length === 0)
    return { kind: 'refused', faults: [{ field: 'kind', detail: 'Tick at least one sample.' }] }
  if (codes.length > MAX_PER_SUBMISSION)
    return {
      kind: 'refused',
      faults: [{ field: 'kind', detail: `Tick at most ${MAX_PER_SUBMISSION} samples at once.` }],
    }
  const kits = await findVisibleKits(getAppPool(), getScope(person), codes, now)
  if (kits.length < codes.length) return { kind: 'absent' }
  const { kind } = form
  if (isEventKind(kind) && kits.some((kit) => !mayRecord(person, kind, kit)))
    return { kind: 'not theirs', detail: `“${kind}” of this sample is not yours to record.` }
  const before = await findRecordedEvents(person, token, now)
  const known = before.filter(({ sample }) => codes.includes(sample ?? ''))
  if (known.length === codes.length)
    return { kind: 'already known', token, events: known.map(({ key }) => key) }
  const corrected =
    form.corrects === '' ? null : await findCorrectableEvent(person, form.corrects, codes, now)
  if (form.corrects !== '' && corrected?.kind !== kind) return { kind: 'absent' }
  return acceptSubmission(
    person,
    { actor, token, what: form.corrects === '' ? 'recorded by hand' : 'corrected by hand' },
    (register) =>
      kits.map((kit) =>
        parseEventForm(
          form,
          { ...kit, previousFacts: corrected?.facts ?? null },
          createEventAuthor(person, token, kit.code),
          (place) => register.getZone(place),
          now,
        ),
      ),
    now,
  )
}

/** The event that a person corrects: on the one sample they speak of, and of a kind that they may report. */
async function findCorrectableEvent(
  person: Person,
  key: string,
  codes: readonly string[],
  now: number,
): Promise<ReadEvent | null> {
  if (codes.length !== 1) return null
  const dossier = await getSampleDossier(getAppPool(), getScope(person), codes[0] as string, now)
  const event = dossier?.sample.events.find((placed) => eventKey(placed.event) === key)?.event
  return dossier && event && mayRecord(person, event.kind, dossier.sample.kit) ? event : null
}

/** Takes the events that a form names out of the count, in one act of a person's. */
export async function withdrawEvents(
  person: Person,
  actor: Actor,
  submission: Submission,
  now: number,
): Promise<Outcome> {
  const token = submission.get('token')
  const samples = submission.getAll('sample').map(toCanonical)
  const keys = submission.getAll('event')
  const count = samples.length
  if (count === 0 || count !== keys.length || count > MAX_PER_SUBMISSION) return { kind: 'absent' }
  const found: { code: string; key: string; zone: string; isOut: boolean }[] = []
  for (const [index, code] of samples.entries()) {
    const key = keys[index] as string
    const dossier = await getSampleDossier(getAppPool(), getScope(person), code, now)
    const placed = dossier?.sample.events.find(({ event }) => eventKey(event) === key)
    if (!dossier || !placed) return { kind: 'absent' }
    if (!mayRecord(person, placed.event.kind, dossier.sample.kit))
      return { kind: 'not theirs', detail: `“${placed.event.kind}” of this sample is not yours to take out.` }
    found.push({ code, key, zone: dossier.plant.zone, isOut: placed.correctedBy.length > 0 })
  }
  const before = await findRecordedEvents(person, token, now)
  if (before.length > 0) return { kind: 'already known', token, events: before.map(({ key }) => key) }
  if (found.every(({ isOut }) => isOut))
    return { kind: 'refused', faults: [{ field: 'corrects', detail: 'It is out of the count already.' }] }
  const reason = submission.get('reason').trim()
  return acceptSubmission(
    person,
    { actor, token, what: 'withdrew by hand' },
    (register) =>
      found.map(({ code, key, zone }) => {
        const { source, id } = createEventAuthor(person, token, hashKey(key))
        return parseManualEvent(
          {
            source,
            id,
            sample: code,
            kind: 'withdrawn',
            at: formatWithOffset(zone, now),
            zone,
            corrects: key,
            facts: reason === '' ? undefined : { reason },
          },
          register,
        )
      }),
    now,
  )
}
