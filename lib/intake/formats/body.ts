import { english } from '@/lib/messages/english'
import { type Message, message } from '@/lib/messages/message'
import { readCsvRows } from './csvRows'
import { FACTS_EXAMPLE, WIRE_FIELDS } from './wireEvent'

export type BodyFormat = 'json' | 'ndjson' | 'csv'

/** Each format: its content types, the ending of its files, and how to split a body into items. */
const FORMATS: Record<
  BodyFormat,
  { types: readonly string[]; ending: string; split(body: string): Iterable<LineItem> }
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

/** Maximum items of a body sent to the server: an item takes far more memory than its text. */
export const MAX_ITEMS = 1_000_000

export class TooManyItems extends Error {
  constructor(max: number) {
    super(`The body has more than ${max} items. Nothing was stored; send it in parts.`)
  }
}

/**
 * Splits a body into items. Errors: SyntaxError if the whole body is unreadable; TooManyItems if it has more than `max`.
 * Their messages go to the sender.
 */
export function splitItems(text: string, format: BodyFormat, max = Number.POSITIVE_INFINITY): RawItem[] {
  const body = text.charCodeAt(0) === 0xfeff ? text.slice(1) : text
  const items: RawItem[] = []
  for (const item of FORMATS[format].split(body))
    if (items.push({ ...item, item: items.length + 1 }) > max) throw new TooManyItems(max)
  return items
}

function* splitJson(body: string): Generator<LineItem> {
  let value: unknown
  try {
    value = JSON.parse(body)
  } catch (error) {
    throw new SyntaxError(`The body is not JSON: ${(error as Error).message}.`)
  }
  for (const one of Array.isArray(value) ? value : [value]) yield { line: null, value: one, fault: null }
}

function* splitNdjson(body: string): Generator<LineItem> {
  for (let start = 0, line = 1; start < body.length; line += 1) {
    const feed = body.indexOf('\n', start)
    const end = feed < 0 ? body.length : feed
    const text = body.slice(start, end)
    start = end + 1
    if (text.trim() !== '') yield parseNdjsonLine(text, line)
  }
}

function parseNdjsonLine(text: string, line: number): LineItem {
  try {
    return { line, value: JSON.parse(text), fault: null }
  } catch (error) {
    const detail = message('intake.line.notJson', { error: (error as Error).message })
    return { line, value: null, fault: { detail, right: message('intake.fix.line') } }
  }
}

function* splitCsv(body: string): Generator<LineItem> {
  let header: string[] | undefined
  for (const { line, cells, fault } of readCsvRows(body)) {
    const faulty = (detail: Message, right: Message) => ({ line, value: null, fault: { detail, right } })
    if (!header) {
      if (fault) throw new SyntaxError(`The header cannot be read. ${english.message(fault)}`)
      header = parseHeader(cells)
    } else if (fault) {
      yield faulty(message('intake.row.unreadable', { fault }), message('intake.fix.quotes'))
    } else if (cells.length !== header.length) {
      const detail = message('intake.row.length', { cells: cells.length, columns: header.length })
      yield faulty(detail, message('intake.fix.row'))
    } else {
      yield { line, ...parseCsvRow(header, cells) }
    }
  }
}

function parseHeader(record: string[]): string[] {
  const header = record.map((name) => name.trim())
  const seen = new Set<string>()
  const twice = header.find((name) => seen.size === seen.add(name).size)
  if (twice !== undefined) throw new SyntaxError(`The header has the column "${twice}" twice.`)
  if (!header.some((name) => WIRE_FIELDS.includes(name)))
    throw new SyntaxError(
      `The first row is not a header. Begin with a header that has some of these columns: ${WIRE_FIELDS.join(', ')}.`,
    )
  return header
}

function parseCsvRow(header: readonly string[], cells: readonly string[]): Pick<RawItem, 'value' | 'fault'> {
  const filled = header
    .map((name, index) => [name, cells[index] ?? ''] as const)
    .filter(([, cell]) => cell !== '')
  const value: Record<string, unknown> = Object.fromEntries(filled)
  if (typeof value.facts !== 'string') return { value, fault: null }
  try {
    return { value: { ...value, facts: JSON.parse(value.facts) }, fault: null }
  } catch {
    const right = message('intake.fix.facts', { example: FACTS_EXAMPLE })
    return { value: null, fault: { detail: message('intake.row.facts'), right } }
  }
}
