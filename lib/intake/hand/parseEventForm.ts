import { findClockFaults } from '@/lib/custody/clockFaults'
import { type EventKind, isEventKind, type ReadEvent, UNDONE_CHANGE } from '@/lib/custody/event'
import { getPlaceOwner, KINDS, type Side } from '@/lib/custody/eventKinds'
import { RULINGS } from '@/lib/custody/finding'
import { type HandTimeFault, parseHandTime } from '@/lib/custody/handTime'
import { findKitCodeFault, isKitCode, toCanonical } from '@/lib/custody/kitCode'
import type { Sample } from '@/lib/custody/sample'
import { type Message, message } from '@/lib/messages/message'
import type { FieldFault } from '../formats/problem'
import { readWireEvent } from '../formats/wireEvent'
import {
  type ConditionAnswers,
  getConditionField,
  parseCondition,
  readConditionAnswers,
} from './conditionForm'
import {
  CONFIRMED,
  type EventFormField,
  type EventFormValues,
  SINGLE_FIELDS,
  type SingleField,
} from './eventForm'

/** A field of one of several boxes, the box itself, or that the answers hold for all of them. */
export type BoxField = `condition.${string}` | `box.${string}` | 'forAll'

/** A field of the form, and what is wrong with it. */
export interface FormFault {
  field: EventFormField | BoxField
  detail: Message
}

/** What reading a form needs to know of its kit. */
export interface EventFormKit {
  /** Null: a box without a readable code. */
  code: string | null
  plant: string
  laboratory: string
  /** The known product; null: `collected` has to name it. */
  product: string | null
  /** Kinds of milestones that are reported already. */
  reported: readonly string[]
  clocks: Sample['clocks']
  /** Why the event of the form must not happen to it; absent: nothing is known against it. */
  restraint?: Message | null
  /** The waybill on its box, if the form does not ask for it. */
  waybill?: string
  /** Facts that are kept unless the form asks for them: those of the event that is corrected, or what is known of a box. */
  previousFacts?: Record<string, unknown> | null
}

/** The source and id under which an event is recorded, and the name of the person. */
export interface EventAuthor {
  source: string
  id: string
  name: string
  /** The side for which the person reports this kind of this kit; absent: none. */
  side?: Side | null
}

type FindZone = (place: string | null) => string | null

/**
 * Reads a form as the event that it records for a kit at `now` (ms UTC), or returns its faults by field. Times are those of
 * the plant or the laboratory, by the kind. The event is then checked as one that comes over the wire.
 */
export function parseEventForm(
  form: EventFormValues,
  kit: EventFormKit,
  author: EventAuthor,
  findZone: FindZone,
  now: number,
): { event: ReadEvent } | { faults: FormFault[] } {
  const { kind } = form
  if (!isEventKind(kind) || kind === 'withdrawn')
    return { faults: [{ field: 'kind', detail: message('record.fault.kind') }] }
  const { fields, isOnSite } = KINDS[kind]
  const place = kit[getPlaceOwner(kind, author.side ?? null)]
  const zone = findZone(place) ?? 'UTC'
  const time = parseHandTime(form, zone, now)
  const get = (field: SingleField) => (fields.includes(field) && form[field] !== '' ? form[field] : undefined)
  const faults = [
    ...('at' in time ? [] : [time satisfies HandTimeFault]),
    ...findMissingFields(kind, form, kit),
    ...(fields.includes('condition') ? findConditionFaults(readAnswers(form)) : []),
  ]
  const read = readWireEvent(
    {
      source: author.source,
      id: author.id,
      sample: kit.code ?? undefined,
      kind,
      // After a wrong time the rest is still read, so that every fault is shown at once.
      at: 'at' in time ? time.at : new Date(now).toISOString(),
      ...(isOnSite ? { place } : { zone }),
      service: get('service'),
      waybill: get('waybill') ?? kit.waybill,
      product: get('product'),
      lot: get('lot'),
      corrects: form.corrects || undefined,
      facts: buildFacts(form, kind, get, author, kit.previousFacts ?? {}),
    },
    findZone,
  )
  if ('faults' in read) faults.push(...read.faults.map((fault) => toFormFault(fault, kind)))
  else
    faults.push(
      ...findRestraint(form, kit),
      ...findClockFaults(read.event, kit.clocks, zone, isConfirmed(form)),
    )
  return 'event' in read && faults.length === 0 ? read : { faults: keepFirstPerField(faults) }
}

const isConfirmed = ({ confirm }: EventFormValues) => confirm === CONFIRMED

/** What must not happen is only asked about: it may have happened. */
function findRestraint(form: EventFormValues, { restraint }: EventFormKit): FormFault[] {
  if (!restraint || isConfirmed(form)) return []
  return [{ field: 'confirm', detail: message('record.fault.restrained', { restraint }) }]
}

/** What a form needs for a kind beyond what every event needs. */
function findMissingFields(kind: EventKind, form: EventFormValues, kit: EventFormKit): FormFault[] {
  const { fields, requiredFields = {} } = KINDS[kind]
  const faults: FormFault[] = []
  if (kit.reported.includes(kind) && form.corrects === '')
    faults.push({ field: 'kind', detail: message('record.fault.reportedAlready') })
  for (const field of fields) {
    if (field === 'condition') continue
    const isNeeded = form[field] === '' && (field !== 'product' || kit.product === null)
    const missing = isNeeded && requiredFields[field]
    const detail = missing ? message(missing) : FIELD_CHECKS[field]?.(form[field], kit)
    if (detail) faults.push({ field, detail })
  }
  return faults
}

/** What is wrong with the text of a field, whichever kind asks for it; undefined where nothing is. */
const FIELD_CHECKS: Partial<Record<SingleField, (text: string, kit: EventFormKit) => Message | undefined>> = {
  ruling: (text) =>
    (RULINGS as readonly string[]).includes(text) ? undefined : message('record.fault.ruling'),
  kit: (text, kit) => {
    const code = toCanonical(text)
    if (!isKitCode(code)) return findKitCodeFault(code)
    return code === kit.code ? message('record.fault.replacesItself') : undefined
  },
}

/** The answers about the condition of a receipt. */
function readAnswers(form: EventFormValues): ConditionAnswers {
  return readConditionAnswers((part) => form[getConditionField(part)])
}

function findConditionFaults(answers: ConditionAnswers): FormFault[] {
  return parseCondition(answers).faults.map(({ part, detail }) => ({
    field: getConditionField(part),
    detail,
  }))
}

type FieldReader = (field: SingleField) => string | undefined

/** The fact that a field becomes; null for a field with a wire key of its own, or that is part of another's fact. */
const FACTS: Record<SingleField, { name: string; value?(text: string, get: FieldReader): unknown } | null> = {
  product: null,
  lot: null,
  service: null,
  waybill: null,
  what: { name: 'what' },
  sealNumber: { name: 'sealNumber' },
  openFor: { name: 'openFor' },
  on: { name: 'on', value: parseKeys },
  ruling: { name: 'ruling' },
  limit: { name: 'limit' },
  untilDate: { name: 'until', value: (date, get) => [date, get('untilTime') ?? []].flat().join('T') },
  untilTime: null,
  by: { name: 'by' },
  kit: { name: 'kit', value: toCanonical },
  reason: { name: 'reason' },
  note: { name: 'note' },
}

/** Keys, one a line: one alone, or several as an array. */
function parseKeys(text: string): string | string[] {
  const keys = text.split(/\r?\n/)
  return keys.length === 1 ? text : keys
}

/** Facts in which the seal and the temperature stood before a condition had its own: a correction says them there. */
const EARLIER_CONDITION = { 'seal intact': undefined, temperature: undefined }

function buildFacts(
  form: EventFormValues,
  kind: EventKind,
  get: FieldReader,
  author: EventAuthor,
  previous: Record<string, unknown>,
): Record<string, unknown> | undefined {
  const facts: Record<string, unknown> = {
    approvedBy: kind === 'extended' ? author.name : undefined,
    [UNDONE_CHANGE]: undefined,
  }
  if (KINDS[kind].fields.includes('condition'))
    Object.assign(facts, EARLIER_CONDITION, { condition: parseCondition(readAnswers(form)).condition })
  for (const field of SINGLE_FIELDS) {
    const fact = FACTS[field]
    const text = get(field)
    if (fact) facts[fact.name] = text !== undefined && fact.value ? fact.value(text, get) : text
  }
  const kept = Object.entries(previous).filter(([name]) => !Object.hasOwn(facts, name))
  const all = [...kept, ...Object.entries(facts).filter(([, value]) => value !== undefined)]
  return all.length > 0 ? Object.fromEntries(all) : undefined
}

/** A fault of the event, by the field of the form that causes it. */
function toFormFault({ pointer, detail }: FieldFault, kind: EventKind): FormFault {
  const field = pointer.slice(1)
  if (field === 'at' || field === 'zone') return { field: 'date', detail }
  if (detail.key === 'extension.noUntil') return { field: 'untilDate', detail }
  if (detail.key === 'extension.until')
    return { field: 'untilDate', detail: (detail.values.fault as Message | undefined) ?? detail }
  if (field === 'facts' || field.startsWith('facts/')) return { field: getLastField(kind), detail }
  const known: readonly string[] = ['product', 'lot', 'service', 'waybill', 'corrects']
  return { field: known.includes(field) ? (field as EventFormField) : 'kind', detail }
}

function getLastField(kind: EventKind): EventFormField {
  const last = KINDS[kind].fields.at(-1)
  return last === undefined || last === 'condition' ? 'note' : last
}

export function keepFirstPerField(faults: readonly FormFault[]): FormFault[] {
  return faults.filter(({ field }, index) => faults.findIndex((other) => other.field === field) === index)
}
