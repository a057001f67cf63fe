import { type CustodyEvent, EVENT_KINDS, isEventKind, type ReadEvent } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import { readExtension } from '@/lib/custody/extension'
import { findKitCodeFault, isKitCode, toCanonical } from '@/lib/custody/kitCode'
import { isReadingFault, type Reading, type ReadingFault, readTime } from '@/lib/custody/reading'
import { findTextFault } from '@/lib/custody/storableText'
import type { FieldFault } from './problem'

/** Longest text of each field, in characters. */
const MAX_LENGTHS = {
  source: 100,
  id: 200,
  sample: 40,
  kind: 40,
  at: 64,
  reportedAt: 64,
  zone: 64,
  place: 100,
  service: 100,
  waybill: 100,
  product: 100,
  lot: 200,
  corrects: 301,
} as const

type TextField = keyof typeof MAX_LENGTHS
const TEXT_FIELDS = Object.keys(MAX_LENGTHS) as TextField[]
const MAX_FACTS_LENGTH = 16_384

/** Column and key names of one event on the wire; anything else goes under `facts`. */
export const WIRE_FIELDS: readonly string[] = [...TEXT_FIELDS, 'facts']

type Texts = Record<TextField, string | null>

/**
 * Reads one event as it came over the wire, or says all that is wrong with it. Empty counts as absent; unknown keys
 * go under `facts`. `zoneOfPlace` gives the zone of a plant or laboratory of the register.
 */
export function readWireEvent(
  raw: unknown,
  zoneOfPlace: (code: string | null) => string | null,
): { event: ReadEvent } | { faults: FieldFault[] } {
  if (raw === null || typeof raw !== 'object' || Array.isArray(raw))
    return {
      faults: [
        {
          pointer: '',
          detail: 'An event is a JSON object.',
          right: 'Send {"source": ..., "id": ..., "kind": ..., "at": ...}.',
        },
      ],
    }
  const faults: FieldFault[] = []
  const item = raw as Record<string, unknown>
  const texts = readTexts(item, faults)
  // A dash where a number should be is none: compared as waybills are, all of them would be one consignment.
  if (texts.waybill !== null && toCanonical(texts.waybill) === '') texts.waybill = null
  const facts = readFacts(item, faults)
  const event: CustodyEvent = {
    source: texts.source ?? '',
    id: texts.id ?? '',
    sample: texts.sample === null ? null : toCanonical(texts.sample),
    kind: 'withdrawn',
    at: texts.at ?? '',
    zone: texts.zone,
    place: texts.place,
    service: texts.service,
    waybill: texts.waybill,
    product: texts.product,
    lot: texts.lot,
    corrects: texts.corrects,
    facts,
    reportedAt: null,
  }
  checkFields(event, texts, faults)
  if (texts.kind !== null && isEventKind(texts.kind)) event.kind = texts.kind
  else if (!hasFault(faults, 'kind'))
    faults.push({
      pointer: '/kind',
      detail: texts.kind === null ? 'The event has no kind.' : `"${texts.kind}" is not a kind of event.`,
      right: `Write one of: ${EVENT_KINDS.join(', ')}.`,
    })
  const placeZone = zoneOfPlace(event.place)
  const reading =
    texts.at === null ? null : addReadingFault(readTime(event.at, event.zone, placeZone), faults)
  if (texts.at === null && !hasFault(faults, 'at'))
    faults.push({
      pointer: '/at',
      detail: 'The event does not say when it happened.',
      right: 'Add `at`: an RFC 3339 time, the same without an offset, or a date.',
    })
  if (texts.reportedAt !== null)
    event.reportedAt = readReportedAt(texts.reportedAt, event.zone, placeZone, faults)
  const missing = hasFault(faults, 'kind') ? null : findMissingContent(event, placeZone)
  if (missing !== null && !faults.some(({ pointer }) => pointer === missing.pointer)) faults.push(missing)
  if (faults.length > 0 || reading === null) return { faults }
  return { event: Object.assign(event, reading) }
}

function hasFault(faults: readonly FieldFault[], field: string): boolean {
  return faults.some((fault) => fault.pointer === `/${field}`)
}

function addReadingFault(reading: Reading | ReadingFault, faults: FieldFault[]): Reading | null {
  if (!isReadingFault(reading)) return reading
  faults.push({ pointer: `/${reading.field}`, detail: reading.detail, right: reading.right })
  return null
}

function readTexts(item: Record<string, unknown>, faults: FieldFault[]): Texts {
  const texts = {} as Texts
  for (const field of TEXT_FIELDS) {
    const value = Object.hasOwn(item, field) ? item[field] : null
    texts[field] = null
    if (value === null || value === undefined || value === '') continue
    const text = Number.isSafeInteger(value) ? String(value) : value
    if (typeof text !== 'string') {
      faults.push({
        pointer: `/${field}`,
        detail: `\`${field}\` is text, not ${describeType(value)}.`,
        right: 'Put it in quotes.',
      })
      continue
    }
    const fault = isLonger(text, MAX_LENGTHS[field])
      ? `\`${field}\` has ${text.length} characters; the most is ${MAX_LENGTHS[field]}.`
      : findTextFault(text)
    if (fault)
      faults.push({
        pointer: `/${field}`,
        detail: fault,
        right: 'Send it shorter, or without that character.',
      })
    else texts[field] = text
  }
  return texts
}

/** Whether a text has more characters than `most`; one beyond Unicode's first plane counts once. */
function isLonger(text: string, most: number): boolean {
  return text.length > most && (text.length > 2 * most || [...text].length > most)
}

function describeType(value: unknown): string {
  if (Array.isArray(value)) return 'a list'
  return typeof value === 'object' ? 'an object' : `a ${typeof value}`
}

/** The facts of an event: those under `facts`, and every key that is not one of the wire's own. */
function readFacts(item: Record<string, unknown>, faults: FieldFault[]): Record<string, unknown> | null {
  const given = Object.hasOwn(item, 'facts') ? item.facts : null
  const isGiven = given !== null && given !== undefined && given !== ''
  if (isGiven && (typeof given !== 'object' || Array.isArray(given))) {
    faults.push({
      pointer: '/facts',
      detail: `\`facts\` is a JSON object, not ${describeType(given)}.`,
      right: 'Send {"seal intact": true} or the like.',
    })
    return null
  }
  const own = isGiven ? Object.entries(given) : []
  const others = Object.entries(item).filter(
    ([key, value]) => !WIRE_FIELDS.includes(key) && value !== undefined && value !== '',
  )
  if (own.length + others.length === 0) return null
  // Before anything else walks into them: facts nested without end would run JSON.stringify out of stack.
  const fault = findTextFault(Object.fromEntries(own)) ?? findTextFault(Object.fromEntries(others))
  if (fault) {
    faults.push({ pointer: '/facts', detail: fault, right: 'Keep to a few short facts, each said once.' })
    return null
  }
  const facts = Object.fromEntries([...others, ...own])
  const size = JSON.stringify(facts).length
  const ownFacts = new Map(own)
  const twice = others.find(
    ([key, value]) => ownFacts.has(key) && JSON.stringify(ownFacts.get(key)) !== JSON.stringify(value),
  )
  const detail = twice
    ? `"${twice[0]}" stands both beside \`facts\` and in it, with different values.`
    : size > MAX_FACTS_LENGTH
      ? `The facts take ${size} characters; the most is ${MAX_FACTS_LENGTH}.`
      : undefined
  if (detail) faults.push({ pointer: '/facts', detail, right: 'Keep to a few short facts, each said once.' })
  return facts
}

function checkFields(event: CustodyEvent, texts: Texts, faults: FieldFault[]): void {
  const fault = (field: string, detail: string, right: string) => {
    if (!hasFault(faults, field)) faults.push({ pointer: `/${field}`, detail, right })
  }
  if (texts.source === null)
    fault('source', 'The event does not say who reports it.', 'Add `source`, the name of a system or a desk.')
  else if (texts.source.includes('/'))
    fault(
      'source',
      `The source "${texts.source}" has a slash.`,
      'Write it without a slash; `corrects` is split at the first one.',
    )
  if (texts.id === null)
    fault(
      'id',
      'The event has no id.',
      'Add `id`, unique within its source; the same one when the event is sent again.',
    )
  if (event.sample !== null && !isKitCode(event.sample))
    fault('sample', findKitCodeFault(event.sample), 'Send the code as the label has it.')
  if (event.sample === null && texts.service === null)
    fault(
      'service',
      'Without `sample` an event speaks of a consignment, and this one names no service.',
      'Add `sample`, or both `service` and `waybill`.',
    )
  if (event.sample === null && texts.waybill === null)
    fault(
      'waybill',
      'Without `sample` an event speaks of a consignment, and this one names no waybill.',
      'Add `sample`, or both `service` and `waybill`.',
    )
  if (event.corrects !== null && !/^[^/]+\/.+$/s.test(event.corrects))
    fault(
      'corrects',
      `"${event.corrects}" does not name an event.`,
      'Write the source and the id of the other event as source/id.',
    )
}

function readReportedAt(
  text: string,
  zone: string | null,
  placeZone: string | null,
  faults: FieldFault[],
): number | null {
  // The zone is that of `at`: a source may well write things down in an office elsewhere, with that office's offset.
  const hasOffset = /(z|[+-]\d{2}:\d{2})$/i.test(text)
  const reading = readTime(text, hasOffset ? null : zone, placeZone)
  if (!isReadingFault(reading)) return reading.earliestAt
  if (reading.field !== 'zone')
    faults.push({
      pointer: '/reportedAt',
      detail: reading.detail,
      right: reading.right.replace('`at`', '`reportedAt`'),
    })
  return null
}

/** The fault of an event that has not what its kind requires; null where it has. */
function findMissingContent(event: CustodyEvent, placeZone: string | null): FieldFault | null {
  switch (KINDS[event.kind].requiredContent) {
    case undefined:
      return null
    case 'corrects':
      if (event.corrects !== null) return null
      return {
        pointer: '/corrects',
        detail: 'A withdrawal does not say what it withdraws.',
        right: 'Add `corrects`, the source and id of the event to withdraw.',
      }
    case 'extension': {
      const extension = readExtension(event, placeZone)
      if (!('detail' in extension)) return null
      return { pointer: '/facts', detail: extension.detail, right: extension.right }
    }
  }
}
