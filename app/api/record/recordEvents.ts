import { createHash } from 'node:crypto'
import { eventKey, isEventKind, type ReadEvent } from '@/lib/custody/event'
import { toCanonical } from '@/lib/custody/kitCode'
import type { Register } from '@/lib/custody/register'
import { MAX_CORRECTIONS, MAX_REPORTS } from '@/lib/custody/reportLimits'
import { readWireEvent } from '@/lib/intake/formats/wireEvent'
import type { EventFormValues } from '@/lib/intake/hand/eventForm'
import { type FormFault, parseEventForm } from '@/lib/intake/hand/parseEventForm'
import { findRestraintOn, RESTRAINABLE } from '@/lib/judgement/restraintText'
import { message } from '@/lib/messages/message'
import { handSource } from '@/lib/policy/handSource'
import { findReportingSide } from '@/lib/policy/mayReport'
import { getScope, type Person } from '@/lib/policy/principal'
import { getReporter, may } from '@/lib/policy/reporting'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { judgeSamples } from '@/lib/store/read/judged/judgeSamples'
import { findVisibleKits, listSubmittedEvents, type SubmittedEvent } from '@/lib/store/read/sample/eventForm'
import { getSampleDossier, type SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import type { Actor } from '@/lib/store/scope/audit'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import type { Outcome, Submission } from './submission'

export type ParsedEvent = { event: ReadEvent } | { faults: FormFault[] }

/**
 * Accepts the events of one submission, all or none. An event whose key exists was recorded by the same form before, even
 * at another time: the first one stands. `what` names the act in the audit log.
 */
export async function acceptSubmission(
  person: Person,
  act: { actor: Actor; token: string; what: string; more?: Record<string, unknown> },
  read: (register: Register) => ParsedEvent[],
  now: number,
): Promise<Outcome> {
  const lines = (accepted: readonly ReadEvent[]) =>
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
    }))
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
    { audit: { actor: act.actor, lines }, isAllOrNone: true },
  )
  const refused = results.find(({ acceptance }) => acceptance?.startsWith('not allowed'))
  if (refused) return { kind: 'forbidden', detail: 'You may not report this of this sample.' }
  if (results.some(({ acceptance }) => acceptance === 'too many')) return TOO_MANY
  const faults = results.flatMap(({ item }) => item.faults)
  if (faults.length > 0) return { kind: 'refused', faults }
  const isNew = results.some(({ acceptance }) => acceptance === 'accepted' || acceptance === 'unplaced')
  return {
    kind: isNew ? 'recorded' : 'already known',
    token: act.token,
    events: results.flatMap(({ item }) => (item.event ? [eventKey(item.event)] : [])),
  }
}

/** What one person may record is far more than anyone does by hand. */
const TOO_MANY: Outcome = {
  kind: 'refused',
  faults: [
    {
      field: 'reason',
      detail: message('record.fault.tooMany', { reports: MAX_REPORTS, corrections: MAX_CORRECTIONS }),
    },
  ],
}

/** The source and id of an event of a submission. `about`: the kit code, or the hashed key of the event it concerns. */
export function createEventAuthor(person: Person, token: string, about: string) {
  return { source: handSource(person), id: `${token} ${about}`, name: person.name }
}

/** Reads an event as it would come over the wire. Faults are shown beside the reason, the only typed field. */
export function parseManualEvent(event: Record<string, unknown>, register: Register): ParsedEvent {
  const read = readWireEvent(event, (place) => register.getZone(place))
  return 'event' in read ? read : { faults: read.faults.map(({ detail }) => ({ field: 'reason', detail })) }
}

/** A short name of an event, for the id of the event that corrects it. */
export function hashKey(key: string): string {
  return createHash('sha256').update(key).digest('hex').slice(0, 16)
}

/** The events that the same form recorded when it was sent before. */
export async function findRecordedEvents(
  person: Person,
  token: string,
  now: number,
): Promise<SubmittedEvent[]> {
  return listSubmittedEvents(getAppPool(), getScope(person), handSource(person), token, now)
}

/** What came of the same form when it was sent before; null if it was not. */
export async function findKnownSubmission(
  person: Person,
  token: string,
  now: number,
): Promise<Outcome | null> {
  const before = await findRecordedEvents(person, token, now)
  return before.length === 0 ? null : { kind: 'already known', token, events: before.map(({ key }) => key) }
}

/** Maximum kits or events in one submission. */
export const MAX_PER_SUBMISSION = 100

/** Why a form with so many ticked boxes is refused; null if it is not. */
export function refuseCount(count: number): Outcome | null {
  if (count > 0 && count <= MAX_PER_SUBMISSION) return null
  const detail =
    count === 0
      ? message('record.fault.tickOne')
      : message('record.fault.tickFewer', { max: MAX_PER_SUBMISSION })
  return { kind: 'refused', faults: [{ field: 'kind', detail }] }
}

/** Records an event for each kit of a form. */
export async function recordEvents(
  person: Person,
  actor: Actor,
  submission: Submission,
  form: EventFormValues,
  now: number,
): Promise<Outcome> {
  const token = submission.get('token')
  const codes = [...new Set(submission.getAll('sample').map(toCanonical))]
  const refused = refuseCount(codes.length)
  if (refused) return refused
  const kits = await findVisibleKits(getAppPool(), getScope(person), codes, now)
  if (kits.length < codes.length) return { kind: 'not found' }
  const { kind } = form
  if (isEventKind(kind) && kits.some((kit) => !may(person, kind, kit)))
    return { kind: 'forbidden', detail: `You may not record “${kind}” for this sample.` }
  const before = await findRecordedEvents(person, token, now)
  const known = before.filter(({ sample }) => codes.includes(sample ?? ''))
  if (known.length === codes.length)
    return { kind: 'already known', token, events: known.map(({ key }) => key) }
  const corrected =
    form.corrects === '' ? null : await findCorrectableEvent(person, form.corrects, codes, now)
  if (form.corrects !== '' && corrected?.kind !== kind) return { kind: 'not found' }
  const judgements = await judgeSamples(getAppPool(), RESTRAINABLE.includes(kind) ? kits : [], now)
  const findRestraint = (code: string) => {
    const judgement = judgements.get(code)
    return judgement ? findRestraintOn(kind, judgement) : null
  }
  return acceptSubmission(
    person,
    { actor, token, what: form.corrects === '' ? 'recorded by hand' : 'corrected by hand' },
    (register) =>
      kits.map((kit) =>
        parseEventForm(
          form,
          { ...kit, restraint: findRestraint(kit.code), previousFacts: corrected?.facts ?? null },
          {
            ...createEventAuthor(person, token, kit.code),
            side: isEventKind(kind) ? findReportingSide(getReporter(person), kind, kit) : null,
          },
          (place) => register.getZone(place),
          now,
        ),
      ),
    now,
  )
}

/** The event that a person corrects: on the one sample of the form, and of a kind that they may report. */
export async function findCorrectableEvent(
  person: Person,
  key: string,
  codes: readonly string[],
  now: number,
): Promise<ReadEvent | null> {
  if (codes.length !== 1) return null
  const dossier = await getWholeDossier(person, codes[0] as string, now)
  const event = dossier?.sample.events.find((placed) => eventKey(placed.event) === key)?.event
  return dossier && event && may(person, event.kind, dossier.sample.kit) ? event : null
}

/**
 * A sample that the person may see, with all that its events say: what is reported again keeps also what this person is not
 * shown.
 */
export async function getWholeDossier(
  person: Person,
  code: string,
  now: number,
): Promise<SampleDossier | null> {
  const shown = await getSampleDossier(getAppPool(), getScope(person), code, now)
  return shown && getSampleDossier(getAppPool(), 'all', shown.row.code, now)
}
