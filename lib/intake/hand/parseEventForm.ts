import { RULINGS } from '@/lib/custody/deviation'
import { type EventKind, isEventKind, type ReadEvent } from '@/lib/custody/event'
import { EVENT_FIELDS, type EventField, KINDS } from '@/lib/custody/eventKinds'
import { parseHandTime } from '@/lib/custody/handTime'
import { findKitCodeFault, isKitCode, toCanonical } from '@/lib/custody/kitCode'
import { english } from '@/lib/messages/english'
import type { FieldFault } from '../formats/problem'
import { readWireEvent } from '../formats/wireEvent'
import type { EventFormField, EventFormValues } from './eventForm'

/** A field of the form, and a sentence on what is wrong with it. */
export interface FormFault {
  field: EventFormField
  detail: string
}

/** The kit that a form speaks of, as far as reading it needs to know. */
export interface EventFormKit {
  code: string
  plant: string
  laboratory: string
  /** The product that is known already; null: `collected` has to name it. */
  product: string | null
  /** Kinds of milestones that are reported already. */
  reported: readonly string[]
  /** The facts of the event that is corrected: what the form does not ask about stays as it was. */
  previousFacts?: Record<string, unknown> | null
}

/** As whom and under which name an event is recorded. */
export interface EventAuthor {
  source: string
  id: string
  name: string
}

type FindZone = (place: string | null) => string | null

/**
 * Reads a form as the event it records of a kit at `now` (ms UTC), or says what is wrong beside which field. Times are
 * those of the plant or the laboratory, by the kind. Everything that any event has to be is judged as on the wire.
 */
export function parseEventForm(
  form: EventFormValues,
  kit: EventFormKit,
  writer: EventAuthor,
  zoneOfPlace: FindZone,
  now: number,
): { event: ReadEvent } | { faults: FormFault[] } {
  const { kind } = form
  if (!isEventKind(kind) || kind === 'withdrawn')
    return { faults: [{ field: 'kind', detail: 'Choose what happened.' }] }
  const { fields: asks, zoneOwner: clock, isOnSite: isThere } = KINDS[kind]
  const place = kit[clock]
  const zone = zoneOfPlace(place) ?? 'UTC'
  const said = parseHandTime(form, zone, now)
  const asked = (field: EventField) => (asks.includes(field) && form[field] !== '' ? form[field] : undefined)
  const faults = [
    ...('at' in said ? [] : [{ field: said.field, detail: english.message(said.detail) }]),
    ...findMissingFields(kind, form, kit),
  ]
  const read = readWireEvent(
    {
      source: writer.source,
      id: writer.id,
      sample: kit.code,
      kind,
      // With a wrong time the rest is read all the same, so that every fault is told at once.
      at: 'at' in said ? said.at : new Date(now).toISOString(),
      ...(isThere ? { place } : { zone }),
      service: asked('service'),
      waybill: asked('waybill'),
      product: asked('product'),
      lot: asked('lot'),
      corrects: form.corrects || undefined,
      facts: buildFacts(kind, asked, writer, kit.previousFacts ?? {}),
    },
    zoneOfPlace,
  )
  if ('faults' in read) faults.push(...read.faults.map((fault) => toFormFault(fault, kind)))
  return 'event' in read && faults.length === 0 ? read : { faults: keepFirstPerField(faults) }
}

/** What a person has to say of a kind beyond what the wire asks for. */
function findMissingFields(kind: EventKind, form: EventFormValues, kit: EventFormKit): FormFault[] {
  const { fields: asks, requiredFields: needs = {} } = KINDS[kind]
  const faults: FormFault[] = []
  if (kit.reported.includes(kind) && form.corrects === '')
    faults.push({
      field: 'kind',
      detail: 'It is reported already. If that is wrong, change it or take it out.',
    })
  for (const field of asks) {
    const isNeeded = form[field] === '' && (field !== 'product' || kit.product === null)
    const detail =
      (isNeeded && needs[field] && english(needs[field])) || FIELD_CHECKS[field]?.(form[field], kit)
    if (detail) faults.push({ field, detail })
  }
  return faults
}

/** What is wrong with a field's text, whichever kind asks for it; nothing where it can be used. */
const FIELD_CHECKS: Partial<Record<EventField, (text: string, kit: EventFormKit) => string | undefined>> = {
  temperature: (text) =>
    text !== '' && parseDegrees(text) === null
      ? 'Write the temperature in degrees Celsius, as 21.5.'
      : undefined,
  ruling: (text) =>
    (RULINGS as readonly string[]).includes(text) ? undefined : `Choose one of: ${RULINGS.join(', ')}.`,
  kit: (text, kit) => {
    const code = toCanonical(text)
    if (!isKitCode(code)) return english.message(findKitCodeFault(code))
    return code === kit.code ? 'A kit does not replace itself.' : undefined
  },
}

function parseDegrees(text: string): number | null {
  const value = Number(text.replace(',', '.').replace('−', '-'))
  return Number.isFinite(value) && value >= -100 && value <= 150 ? value : null
}

type FieldReader = (field: EventField) => string | undefined

/** The fact that a field's text becomes; null where the wire has a place of its own for it, or another field tells it. */
const FACTS: Record<EventField, { name: string; value?(text: string, asked: FieldReader): unknown } | null> =
  {
    product: null,
    lot: null,
    service: null,
    waybill: null,
    seal: { name: 'seal intact', value: (text) => text === 'yes' },
    temperature: { name: 'temperature', value: (text) => parseDegrees(text) ?? undefined },
    what: { name: 'what' },
    on: { name: 'on' },
    ruling: { name: 'ruling' },
    limit: { name: 'limit' },
    untilDate: { name: 'until', value: (date, asked) => [date, asked('untilTime') ?? []].flat().join('T') },
    untilTime: null,
    by: { name: 'by' },
    kit: { name: 'kit', value: toCanonical },
    reason: { name: 'reason' },
    note: { name: 'note' },
  }

function buildFacts(
  kind: EventKind,
  asked: FieldReader,
  writer: EventAuthor,
  carried: Record<string, unknown>,
): Record<string, unknown> | undefined {
  const facts: Record<string, unknown> = { approvedBy: kind === 'extended' ? writer.name : undefined }
  for (const field of EVENT_FIELDS) {
    const fact = FACTS[field]
    const text = asked(field)
    if (fact) facts[fact.name] = text !== undefined && fact.value ? fact.value(text, asked) : text
  }
  const kept = Object.entries(carried).filter(([name]) => !Object.hasOwn(facts, name))
  const told = [...kept, ...Object.entries(facts).filter(([, value]) => value !== undefined)]
  return told.length > 0 ? Object.fromEntries(told) : undefined
}

/** A fault of the wire, beside the field of the form that it is about. */
function toFormFault({ pointer, detail: found }: FieldFault, kind: EventKind): FormFault {
  const isUntil = found.key === 'extension.until' || found.key === 'extension.noUntil'
  const fault = found.values.fault
  const detail = english.message(typeof fault === 'object' ? fault : found)
  const field = pointer.slice(1)
  if (field === 'at' || field === 'zone') return { field: 'date', detail }
  if (field === 'facts') {
    return { field: isUntil ? 'untilDate' : (KINDS[kind].fields.at(-1) ?? 'note'), detail }
  }
  const known: readonly string[] = ['product', 'lot', 'service', 'waybill', 'corrects']
  return { field: known.includes(field) ? (field as EventFormField) : 'kind', detail }
}

function keepFirstPerField(faults: readonly FormFault[]): FormFault[] {
  return faults.filter(({ field }, index) => faults.findIndex((other) => other.field === field) === index)
}
