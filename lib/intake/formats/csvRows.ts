import { type Message, message, type PlainMessageKey } from '@/lib/messages/message'
import { type ItemLimits, UNLIMITED } from './limits'

type RowLimits = Pick<ItemLimits, 'columns' | 'length'>

/** A row of a CSV text: the line on which it begins, from 1, and its cells, or why it cannot be read. */
export interface CsvRow {
  line: number
  /** At most as many as the limit of columns, and one. */
  cells: string[]
  /** How many cells the row has. */
  count: number
  fault: Message | null
}

/**
 * Reads the rows of a CSV text (RFC 4180) and skips blank lines. A line ends with CR LF or LF, mixed or not, or with CR
 * alone if the first line does; elsewhere a lone CR has to be quoted.
 *
 * If the quotes of a row do not match, only the line on which it begins is lost: reading resumes on the next line, so
 * that one stray quote does not swallow the rows after it.
 */
export function* readCsvRows(text: string, limits: RowLimits = UNLIMITED): Generator<CsvRow> {
  for (const row of scanCsv(text, limits)) if (row !== null) yield row
}

/** Blank lines after which the caller can pause. */
const PAUSE_LINES = 1_000

/** The same; null: no row yet, so that the caller can pause. */
export function* scanCsv(text: string, limits: RowLimits): Generator<CsvRow | null> {
  const first = /\r\n|\n|\r/.exec(text)
  const lines: Lines = { text, isCrABreak: first?.[0] === '\r' }
  let line = 1
  let at = 0
  while (at < text.length) {
    const blank = getBreakLength(lines, at)
    if (blank > 0) {
      if (line % PAUSE_LINES === 0) yield null
      line += 1
      at += blank
      continue
    }
    const { cells, count, end, fault } = readRow(lines, at, limits)
    const stop = fault === null ? end : findLineEnd(lines, at)
    if (fault !== null || count > 1 || cells[0]?.trim() !== '') yield { line, cells, count, fault }
    else if (line % PAUSE_LINES === 0) yield null
    line += 1 + countBreaks(lines, at, stop)
    at = stop + getBreakLength(lines, stop)
  }
}

type CsvFault = Extract<PlainMessageKey, `csv.${string}`>

interface Lines {
  text: string
  isCrABreak: boolean
}

const [QUOTE, COMMA, LF, CR] = [34, 44, 10, 13]

interface Row {
  cells: string[]
  count: number
  /** The index of the row's line break, or the end of the text. */
  end: number
  fault: Message | null
}

/** Reads the row that begins at `start`. */
function readRow(lines: Lines, start: number, limits: RowLimits): Row {
  const { text } = lines
  const cells: string[] = []
  const last = start + limits.length
  let count = 0
  let at = start
  const faulty = (fault: CsvFault) => ({ cells, count, end: at, fault: message(fault) })
  const add = (from: number, to: number, isQuoted: boolean) => {
    count += 1
    if (count > limits.columns + 1) return
    const cell = text.slice(from, to)
    cells.push(isQuoted ? cell.replaceAll('""', '"') : cell)
  }
  for (;;) {
    if (text.charCodeAt(at) === QUOTE) {
      const close = findClosingQuote(text, at + 1, last)
      if (close > last) return faulty('csv.longRow')
      if (close < 0) return faulty('csv.openQuote')
      add(at + 1, close, true)
      at = close + 1
    } else {
      const from = at
      while (at < text.length && at <= last && !isSpecial(text.charCodeAt(at))) at += 1
      if (at > last) return faulty('csv.longRow')
      if (text.charCodeAt(at) === QUOTE) return faulty('csv.strayQuote')
      add(from, at, false)
    }
    if (at === text.length || getBreakLength(lines, at) > 0) return { cells, count, end: at, fault: null }
    if (text.charCodeAt(at) === CR) return faulty('csv.carriageReturn')
    if (text.charCodeAt(at) !== COMMA) return faulty('csv.afterQuote')
    at += 1
  }
}

/** The index of the quote that closes the cell whose text begins at `from`, or a later one than `last`; -1 if there is none. */
function findClosingQuote(text: string, from: number, last: number): number {
  let at = text.indexOf('"', from)
  while (at >= 0 && at <= last && text.charCodeAt(at + 1) === QUOTE) at = text.indexOf('"', at + 2)
  return at
}

function isSpecial(code: number): boolean {
  return code === COMMA || code === LF || code === CR || code === QUOTE
}

/** The length of the line break at `at`; 0 if there is none. */
function getBreakLength({ text, isCrABreak }: Lines, at: number): number {
  const code = text.charCodeAt(at)
  if (code === LF) return 1
  if (code !== CR) return 0
  if (text.charCodeAt(at + 1) === LF) return 2
  return isCrABreak ? 1 : 0
}

/** The index of the first line break from `from` on; searched natively, since a line can be the whole text. */
function findLineEnd({ text, isCrABreak }: Lines, from: number): number {
  if (isCrABreak) {
    const end = findOrEnd(text, '\r', from)
    return from + findOrEnd(text.slice(from, end), '\n', 0)
  }
  const end = findOrEnd(text, '\n', from)
  return end > from && end < text.length && text.charCodeAt(end - 1) === CR ? end - 1 : end
}

function findOrEnd(text: string, what: string, from: number): number {
  const at = text.indexOf(what, from)
  return at < 0 ? text.length : at
}

function countBreaks(lines: Lines, from: number, to: number): number {
  let count = 0
  for (let at = findLineEnd(lines, from); at < to; at = findLineEnd(lines, at + getBreakLength(lines, at)))
    count += 1
  return count
}
