import { english } from '@/lib/messages/english'
import { type Message, message } from '@/lib/messages/message'
import { scanCsv } from './csvRows'
import { cutJson, measureDepth } from './jsonItems'
import { BodyLimitError, type ItemLimits, quote, UNLIMITED } from './limits'
import { FACTS_EXAMPLE, WIRE_FIELDS } from './wireEvent'

export type BodyFormat = 'json' | 'ndjson' | 'csv'

/** Each format: its content types, the ending of its files, and how to split a body into items. */
const FORMATS: Record<
  BodyFormat,
  {
    types: readonly string[]
    ending: string
    /** Null: nothing yet, so that the caller can pause. */
    split(body: string, limits: ItemLimits): Iterable<LineItem | null>
  }
> = {
  json: { types: ['application/json'], ending: '.json', split: splitJson },
  csv: { types: ['text/csv'], ending: '.csv', split: splitCsv },
  ndjson: {
    types: ['application/x-ndjson', 'application/ndjson', 'application/jsonl', 'application/x-jsonlines'],
    ending: '.ndjson',
    split: splitNdjson,
  },
}
const BODY_FORMATS = Object.keys(FORMATS) as BodyFormat[]

/** One item of a body, not yet read as an event. */
export interface RawItem {
  /** Position among the items of the body, from 1. */
  item: number
  /** Line of the body, from 1; null if the format has no lines. */
  line: number | null
  value: unknown
  /** Why the line is not an item. */
  fault: { detail: Message; right: Message } | null
}

type LineItem = Omit<RawItem, 'item'>

/** The format of a content type; undefined if it is not supported. */
export function detectFormat(contentType: string | null): BodyFormat | undefined {
  const type = (contentType ?? '').split(';')[0]?.trim().toLowerCase() ?? ''
  return BODY_FORMATS.find((format) => FORMATS[format].types.includes(type))
}

/** The format of a file by its ending; NDJSON for any other. */
export function detectFileFormat(path: string): BodyFormat {
  return BODY_FORMATS.find((format) => path.endsWith(FORMATS[format].ending)) ?? 'ndjson'
}

/** Splits a body into items at once. Errors: those of `splitBody`. */
export function splitItems(text: string, format: BodyFormat): RawItem[] {
  return [...splitBody(text, format, UNLIMITED)].filter((item) => item !== null)
}

/**
 * Splits a body into items, one by one; null: nothing yet, so that the caller can pause. An item that is too long or too
 * deep is not parsed. Errors: SyntaxError if the whole body is unreadable; BodyLimitError if it has too many items or
 * columns. Their messages go to the sender.
 */
export function* splitBody(text: string, format: BodyFormat, limits: ItemLimits): Generator<RawItem | null> {
  const body = text.charCodeAt(0) === 0xfeff ? text.slice(1) : text
  let item = 0
  for (const found of FORMATS[format].split(body, limits)) {
    if (found !== null) item += 1
    if (item > limits.items) throw new BodyLimitError('items', limits.items)
    yield found && { ...found, item }
  }
}

function* splitJson(body: string, limits: ItemLimits): Generator<LineItem | null> {
  try {
    for (const found of cutJson(body)) {
      if (found === null) {
        yield null
        continue
      }
      const { text, depth } = found
      const fault = findSizeFault(text.length, () => depth, limits)
      yield { line: null, value: fault ? null : (JSON.parse(text) as unknown), fault }
    }
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error
    throw new SyntaxError(`The body is not JSON: ${error.message}.`)
  }
}

/** Blank lines without an item after which the caller can pause. */
const PAUSE_LINES = 1_000

function* splitNdjson(body: string, limits: ItemLimits): Generator<LineItem | null> {
  for (let start = 0, line = 1; start < body.length; line += 1) {
    const feed = body.indexOf('\n', start)
    const end = feed < 0 ? body.length : feed
    const text = body.slice(start, end)
    start = end + 1
    if (text.trim() !== '') yield parseNdjsonLine(text, line, limits)
    else if (line % PAUSE_LINES === 0) yield null
  }
}

/** Parses a line of NDJSON that is not blank; lines count from 1. */
export function parseNdjsonLine(text: string, line: number, limits: ItemLimits = UNLIMITED): LineItem {
  const fault = findSizeFault(text.length, () => measureDepth(text), limits)
  if (fault) return { line, value: null, fault }
  try {
    return { line, value: JSON.parse(text), fault: null }
  } catch (error) {
    const detail = message('intake.line.notJson', { error: quote((error as Error).message) })
    return { line, value: null, fault: { detail, right: message('intake.fix.line') } }
  }
}

/** `measure` gives the depth; what is too long is not read for it. */
function findSizeFault(length: number, measure: () => number, limits: ItemLimits): LineItem['fault'] {
  if (length > limits.length)
    return {
      detail: message('intake.item.long', { length, max: limits.length }),
      right: message('intake.fix.fewFacts'),
    }
  if (measure() > limits.depth)
    return {
      detail: message('intake.item.deep', { max: limits.depth }),
      right: message('intake.fix.fewFacts'),
    }
  return null
}

function* splitCsv(body: string, limits: ItemLimits): Generator<LineItem | null> {
  let header: string[] | undefined
  for (const row of scanCsv(body, limits)) {
    if (row === null) {
      yield null
      continue
    }
    const { line, cells, count, fault } = row
    const faulty = (detail: Message, right: Message) => ({ line, value: null, fault: { detail, right } })
    if (!header) {
      if (count > limits.columns) throw new BodyLimitError('columns', limits.columns)
      if (fault) throw new SyntaxError(`The header cannot be read. ${english.message(fault)}`)
      header = parseHeader(cells)
    } else if (fault) {
      yield faulty(message('intake.row.unreadable', { fault }), message('intake.fix.quotes'))
    } else if (count !== header.length) {
      const detail = message('intake.row.length', { cells: count, columns: header.length })
      yield faulty(detail, message('intake.fix.row'))
    } else {
      yield { line, ...parseCsvRow(header, cells, limits) }
    }
  }
}

function parseHeader(record: readonly string[]): string[] {
  const header = record.map((name) => name.trim())
  const seen = new Set<string>()
  const twice = header.find((name) => seen.size === seen.add(name).size)
  if (twice !== undefined) throw new SyntaxError(`The header has the column "${quote(twice)}" twice.`)
  if (!header.some((name) => WIRE_FIELDS.includes(name)))
    throw new SyntaxError(
      `The first row is not a header. Begin with a header that has some of these columns: ${WIRE_FIELDS.join(', ')}.`,
    )
  return header
}

function parseCsvRow(
  header: readonly string[],
  cells: readonly string[],
  limits: ItemLimits,
): Pick<RawItem, 'value' | 'fault'> {
  const filled = header
    .map((name, index) => [name, cells[index] ?? ''] as const)
    .filter(([, cell]) => cell !== '')
  const value: Record<string, unknown> = Object.fromEntries(filled)
  if (typeof value.facts !== 'string') return { value, fault: null }
  const { facts } = value
  const fault = findSizeFault(facts.length, () => measureDepth(facts), limits)
  if (fault) return { value: null, fault }
  try {
    return { value: { ...value, facts: JSON.parse(facts) }, fault: null }
  } catch {
    const right = message('intake.fix.facts', { example: FACTS_EXAMPLE })
    return { value: null, fault: { detail: message('intake.row.facts'), right } }
  }
}
