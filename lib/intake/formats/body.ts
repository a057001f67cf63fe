import { readCsvRows } from './csvRows'
import { WIRE_FIELDS } from './wireEvent'

export type BodyFormat = 'json' | 'ndjson' | 'csv'

/** Each format: the content types that name it, how files in it end, and how a body falls into items. */
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

/** One item of a body, not yet read as an event: where it stands, and its JSON value or why it has none. */
export interface RawItem {
  /** Position among the items of the body, from 1. */
  item: number
  /** Line of the body, from 1, where items stand on lines. */
  line: number | null
  value: unknown
  /** Why the line is not an item at all. */
  fault: { detail: string; right: string } | null
}

type LineItem = Omit<RawItem, 'item'>

/** The format a content type names, or undefined for one that is not taken. */
export function detectFormat(contentType: string | null): BodyFormat | undefined {
  const type = (contentType ?? '').split(';')[0]?.trim().toLowerCase() ?? ''
  return BODY_FORMATS.find((format) => FORMATS[format].types.includes(type))
}

/** The format of a file by how its name ends; JSON lines where that says nothing. */
export function detectFileFormat(path: string): BodyFormat {
  return BODY_FORMATS.find((format) => path.endsWith(FORMATS[format].ending)) ?? 'ndjson'
}

/** The most items that a body sent to the server may have: each costs far more memory than its text. */
export const MAX_ITEMS = 1_000_000

/** A body has more items than are taken at once. */
export class TooManyItems extends Error {
  constructor(most: number) {
    super(`The body has more than ${most} items; send it in parts. Nothing of it was kept.`)
  }
}

/**
 * Splits a body into items. Errors: SyntaxError where the body as a whole cannot be read; TooManyItems where there are
 * more than `most`. Their messages are for people.
 */
export function splitItems(text: string, format: BodyFormat, most = Number.POSITIVE_INFINITY): RawItem[] {
  const body = text.charCodeAt(0) === 0xfeff ? text.slice(1) : text
  const items: RawItem[] = []
  for (const item of FORMATS[format].split(body))
    if (items.push({ ...item, item: items.length + 1 }) > most) throw new TooManyItems(most)
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
    const detail = `The line is not JSON: ${(error as Error).message}.`
    return { line, value: null, fault: { detail, right: 'Send one JSON object a line.' } }
  }
}

function* splitCsv(body: string): Generator<LineItem> {
  let header: string[] | undefined
  for (const { line, cells, fault } of readCsvRows(body)) {
    const faulty = (detail: string, right: string) => ({ line, value: null, fault: { detail, right } })
    if (!header) {
      if (fault) throw new SyntaxError(`The header cannot be read: ${fault}.`)
      header = parseHeader(cells)
    } else if (fault) {
      yield faulty(`The row cannot be read: ${fault}.`, 'Quote cells as RFC 4180 has it.')
    } else if (cells.length !== header.length) {
      const detail = `The row has ${cells.length} cells and the header ${header.length}.`
      yield faulty(detail, 'Give each column a cell, if an empty one.')
    } else {
      yield { line, ...parseCsvRow(header, cells) }
    }
  }
}

function parseHeader(record: string[]): string[] {
  const header = record.map((name) => name.trim())
  const seen = new Set<string>()
  const twice = header.find((name) => seen.size === seen.add(name).size)
  if (twice !== undefined) throw new SyntaxError(`The header names the column "${twice}" twice.`)
  if (!header.some((name) => WIRE_FIELDS.includes(name)))
    throw new SyntaxError(
      `The first row is not a header. Begin with one that has some of: ${WIRE_FIELDS.join(', ')}.`,
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
    const right = 'Write a JSON object such as {"seal intact": true}.'
    return { value: null, fault: { detail: 'The cell `facts` is not JSON.', right } }
  }
}
