import { type CustodyEvent, EVENT_KINDS, isEventKind, type ReadEvent } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import { findKitCodeFault, isKitCode, toCanonical } from '@/lib/custody/kitCode'
import { isReadingFault, nameField, type Reading, type ReadingFault, readTime } from '@/lib/custody/reading'
import { findTextFault } from '@/lib/custody/storableText'
import { type Message, message } from '@/lib/messages/message'
import { findContentFaults } from './contentFaults'
import { quote } from './limits'
import type { FieldFault } from './problem'

/** In characters. */
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
  // With the longest source and id, a slash, and the longest name of a fault after its `#`.
  corrects: 313,
} as const

type TextField = keyof typeof MAX_LENGTHS
const TEXT_FIELDS = Object.keys(MAX_LENGTHS) as TextField[]
const MAX_FACTS_LENGTH = 16_384
export const FACTS_EXAMPLE = '{"condition": {"seal": "intact"}}'

/** Keys and columns of an event on the wire. Anything else goes under `facts`. */
export const WIRE_FIELDS: readonly string[] = [...TEXT_FIELDS, 'facts']

type Texts = Record<TextField, string | null>

/**
 * Reads one event as it came over the wire, or lists all its faults. Empty counts as absent; unknown keys go under
 * `facts`. `getZone` gives the zone of a plant or laboratory of the register.
 */
export function readWireEvent(
  raw: unknown,
  getZone: (code: string | null) => string | null,
): { event: ReadEvent } | { faults: FieldFault[] } {
  if (raw === null || typeof raw !== 'object' || Array.isArray(raw))
    return {
      faults: [
        {
          pointer: '',
          detail: message('intake.notObject'),
          right: message('intake.fix.object', {
            example: '{"source": ..., "id": ..., "kind": ..., "at": ...}',
          }),
        },
      ],
    }
  const faults: FieldFault[] = []
  const item = raw as Record<string, unknown>
  const texts = readTexts(item, faults)
  // A waybill of dashes is canonically empty; kept, all of them would be one consignment.
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
      detail:
        texts.kind === null ? message('intake.noKind') : message('intake.unknownKind', { kind: texts.kind }),
      right: message('intake.fix.kind', { kinds: EVENT_KINDS.join(', ') }),
    })
  const placeZone = getZone(event.place)
  const reading =
    texts.at === null ? null : addReadingFault(readTime(event.at, event.zone, placeZone), faults)
  if (texts.at === null && !hasFault(faults, 'at'))
    faults.push({
      pointer: '/at',
      detail: message('intake.noTime'),
      right: message('intake.fix.time'),
    })
  if (texts.reportedAt !== null)
    event.reportedAt = readReportedAt(texts.reportedAt, event.zone, placeZone, faults)
  const wrong = hasFault(faults, 'kind') ? [] : findContentFaults(event, placeZone)
  for (const fault of wrong) if (!faults.some(({ pointer }) => pointer === fault.pointer)) faults.push(fault)
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
        detail: message('intake.notText', { field, type: describeType(value) }),
        right: message('intake.fix.text'),
      })
      continue
    }
    const fault = isLonger(text, MAX_LENGTHS[field])
      ? message('intake.tooLong', { field, length: text.length, max: MAX_LENGTHS[field] })
      : findTextFault(text)
    if (fault)
      faults.push({
        pointer: `/${field}`,
        detail: fault,
        right: message('intake.fix.shorter'),
      })
    else texts[field] = text
  }
  return texts
}

/** Counts code points: a character beyond Unicode's first plane counts once. */
function isLonger(text: string, max: number): boolean {
  return text.length > max && (text.length > 2 * max || [...text].length > max)
}

function describeType(value: unknown): string {
  return Array.isArray(value) ? 'array' : typeof value
}

/** Collects what stands under `facts` and every unknown key. */
function readFacts(item: Record<string, unknown>, faults: FieldFault[]): Record<string, unknown> | null {
  const given = Object.hasOwn(item, 'facts') ? item.facts : null
  const isGiven = given !== null && given !== undefined && given !== ''
  if (isGiven && (typeof given !== 'object' || Array.isArray(given))) {
    faults.push({
      pointer: '/facts',
      detail: message('intake.factsNotObject', { type: describeType(given) }),
      right: message('intake.fix.facts', { example: FACTS_EXAMPLE }),
    })
    return null
  }
  const own = isGiven ? Object.entries(given) : []
  const others = Object.entries(item).filter(
    ([key, value]) => !WIRE_FIELDS.includes(key) && value !== undefined && value !== '',
  )
  if (own.length + others.length === 0) return null
  // First of all: endlessly nested facts would overflow the stack of JSON.stringify.
  const fault = findTextFault(Object.fromEntries(own)) ?? findTextFault(Object.fromEntries(others))
  if (fault) {
    faults.push({ pointer: '/facts', detail: fault, right: message('intake.fix.fewFacts') })
    return null
  }
  const facts = Object.fromEntries([...others, ...own])
  const size = JSON.stringify(facts).length
  const ownFacts = new Map(own)
  const twice = others.find(
    ([key, value]) => ownFacts.has(key) && JSON.stringify(ownFacts.get(key)) !== JSON.stringify(value),
  )
  const detail = twice
    ? message('intake.factsTwice', { name: quote(twice[0]) })
    : size > MAX_FACTS_LENGTH
      ? message('intake.factsLong', { length: size, max: MAX_FACTS_LENGTH })
      : undefined
  if (detail) faults.push({ pointer: '/facts', detail, right: message('intake.fix.fewFacts') })
  return facts
}

function checkFields(event: CustodyEvent, texts: Texts, faults: FieldFault[]): void {
  const fault = (field: string, detail: Message, right: Message) => {
    if (!hasFault(faults, field)) faults.push({ pointer: `/${field}`, detail, right })
  }
  if (texts.source === null) fault('source', message('intake.noSource'), message('intake.fix.source'))
  else if (texts.source.includes('/'))
    fault(
      'source',
      message('intake.sourceSlash', { source: texts.source }),
      message('intake.fix.sourceSlash'),
    )
  if (texts.id === null) fault('id', message('intake.noId'), message('intake.fix.id'))
  if (event.sample !== null && !isKitCode(event.sample))
    fault('sample', findKitCodeFault(event.sample), message('intake.fix.kitCode'))
  const needsConsignment = event.sample === null && !mayNameNoKit(texts)
  if (needsConsignment && texts.service === null)
    fault('service', message('intake.noService'), message('intake.fix.consignment'))
  if (needsConsignment && texts.waybill === null)
    fault('waybill', message('intake.noWaybill'), message('intake.fix.consignment'))
  if (event.corrects !== null && !/^[^/]+\/.+$/s.test(event.corrects))
    fault(
      'corrects',
      message('intake.badCorrects', { corrects: event.corrects }),
      message('intake.fix.corrects'),
    )
}

function mayNameNoKit({ kind, place }: Texts): boolean {
  return kind !== null && isEventKind(kind) && KINDS[kind].mayNameNoKit === true && place !== null
}

function readReportedAt(
  text: string,
  zone: string | null,
  placeZone: string | null,
  faults: FieldFault[],
): number | null {
  // `zone` belongs to `at`: the source may write in an office elsewhere, with that office's offset.
  const hasOffset = /(z|[+-]\d{2}:\d{2})$/i.test(text)
  const reading = readTime(text, hasOffset ? null : zone, placeZone)
  if (!isReadingFault(reading)) return reading.earliestAt
  if (reading.field !== 'zone')
    faults.push({
      pointer: '/reportedAt',
      detail: reading.detail,
      right: nameField(reading.right, 'reportedAt'),
    })
  return null
}
