import { csvRows } from './csvRows'
import { WIRE_FIELDS } from './wireEvent'

export const BODY_FORMATS = ['json', 'ndjson', 'csv'] as const
export type BodyFormat = (typeof BODY_FORMATS)[number]

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

/** The format a content type names, or undefined for one that is not taken. */
export function formatOf(contentType: string | null): BodyFormat | undefined {
  const type = (contentType ?? '').split(';')[0]?.trim().toLowerCase()
  if (type === 'application/json') return 'json'
  if (type === 'text/csv') return 'csv'
  return [
    'application/x-ndjson',
    'application/ndjson',
    'application/jsonl',
    'application/x-jsonlines',
  ].includes(type ?? '')
    ? 'ndjson'
    : undefined
}

/** Splits a body into items. Errors: SyntaxError where the body as a whole cannot be read; its message is for people. */
export function itemsOf(text: string, format: BodyFormat): RawItem[] {
  const body = text.charCodeAt(0) === 0xfeff ? text.slice(1) : text
  if (format === 'ndjson') return ndjsonItems(body)
  if (format === 'csv') return csvItems(body)
  let value: unknown
  try {
    value = JSON.parse(body)
  } catch (error) {
    throw new SyntaxError(`The body is not JSON: ${(error as Error).message}.`)
  }
  const list: unknown[] = Array.isArray(value) ? value : [value]
  return list.map((one, index) => ({ item: index + 1, line: null, value: one, fault: null }))
}

function ndjsonItems(body: string): RawItem[] {
  const items: RawItem[] = []
  body.split('\n').forEach((text, index) => {
    if (text.trim() === '') return
    const place = { item: items.length + 1, line: index + 1 }
    try {
      items.push({ ...place, value: JSON.parse(text), fault: null })
    } catch (error) {
      const detail = `The line is not JSON: ${(error as Error).message}.`
      items.push({ ...place, value: null, fault: { detail, right: 'Send one JSON object a line.' } })
    }
  })
  return items
}

function csvItems(body: string): RawItem[] {
  const items: RawItem[] = []
  let header: string[] | undefined
  for (const { line, cells, fault } of csvRows(body)) {
    const add = (value: unknown, wrong: RawItem['fault']) =>
      items.push({ item: items.length + 1, line, value, fault: wrong })
    if (!header) {
      if (fault) throw new SyntaxError(`The header cannot be read: ${fault}.`)
      header = headerOf(cells)
    } else if (fault) {
      add(null, { detail: `The row cannot be read: ${fault}.`, right: 'Quote cells as RFC 4180 has it.' })
    } else if (cells.length !== header.length) {
      const detail = `The row has ${cells.length} cells and the header ${header.length}.`
      add(null, { detail, right: 'Give each column a cell, if an empty one.' })
    } else {
      addRow(header, cells, add)
    }
  }
  return items
}

function headerOf(record: string[]): string[] {
  const header = record.map((name) => name.trim())
  const twice = header.find((name, index) => header.indexOf(name) !== index)
  if (twice !== undefined) throw new SyntaxError(`The header names the column "${twice}" twice.`)
  if (!header.some((name) => WIRE_FIELDS.includes(name)))
    throw new SyntaxError(
      `The first row is not a header. Begin with one that has some of: ${WIRE_FIELDS.join(', ')}.`,
    )
  return header
}

function addRow(
  header: readonly string[],
  cells: readonly string[],
  add: (value: unknown, fault: RawItem['fault']) => void,
): void {
  const filled = header
    .map((name, index) => [name, cells[index] ?? ''] as const)
    .filter(([, cell]) => cell !== '')
  const item: Record<string, unknown> = Object.fromEntries(filled)
  if (typeof item.facts === 'string') {
    try {
      item.facts = JSON.parse(item.facts)
    } catch {
      add(null, {
        detail: 'The cell `facts` is not JSON.',
        right: 'Write a JSON object such as {"seal intact": true}.',
      })
      return
    }
  }
  add(item, null)
}
