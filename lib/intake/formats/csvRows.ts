import { type Message, type MessageKey, message } from '@/lib/messages/message'

/** A row of a CSV text: the line on which it begins, from 1, and its cells, or why it cannot be read. */
export interface CsvRow {
  line: number
  cells: string[]
  fault: Message | null
}

/**
 * Reads the rows of a CSV text (RFC 4180) and skips blank lines. A line ends with CR LF or LF, mixed or not, or with CR
 * alone if the first line does; elsewhere a lone CR has to be quoted.
 *
 * If the quotes of a row do not match, only the line on which it begins is lost: reading resumes on the next line, so
 * that one stray quote does not swallow the rows after it.
 */
export function* readCsvRows(text: string): Generator<CsvRow> {
  const first = /\r\n|\n|\r/.exec(text)
  const lines: Lines = { text, isCrABreak: first?.[0] === '\r' }
  let line = 1
  let at = 0
  while (at < text.length) {
    const { cells, end, fault } = readRow(lines, at)
    const stop = fault === null ? end : findLineEnd(lines, at)
    if (fault !== null || cells.length > 1 || cells[0]?.trim() !== '') yield { line, cells, fault }
    line += 1 + countBreaks(lines, at, stop)
    at = stop + getBreakLength(lines, stop)
  }
}

type CsvFault = Extract<MessageKey, `csv.${string}`>

interface Lines {
  text: string
  isCrABreak: boolean
}

const [QUOTE, COMMA, LF, CR] = [34, 44, 10, 13]

/** Reads the row that begins at `start`. `end` is the index of its line break, or the end of the text. */
function readRow(lines: Lines, start: number): { cells: string[]; end: number; fault: Message | null } {
  const { text } = lines
  const cells: string[] = []
  let at = start
  const faulty = (fault: CsvFault) => ({ cells, end: at, fault: message(fault) })
  for (;;) {
    if (text.charCodeAt(at) === QUOTE) {
      const close = findClosingQuote(text, at + 1)
      if (close < 0) return faulty('csv.openQuote')
      cells.push(text.slice(at + 1, close).replaceAll('""', '"'))
      at = close + 1
    } else {
      const from = at
      while (at < text.length && !isSpecial(text.charCodeAt(at))) at += 1
      if (text.charCodeAt(at) === QUOTE) return faulty('csv.strayQuote')
      cells.push(text.slice(from, at))
    }
    if (at === text.length || getBreakLength(lines, at) > 0) return { cells, end: at, fault: null }
    if (text.charCodeAt(at) === CR) return faulty('csv.carriageReturn')
    if (text.charCodeAt(at) !== COMMA) return faulty('csv.afterQuote')
    at += 1
  }
}

/** The index of the quote that closes the cell whose text begins at `from`; -1 if there is none. */
function findClosingQuote(text: string, from: number): number {
  let at = text.indexOf('"', from)
  while (at >= 0 && text.charCodeAt(at + 1) === QUOTE) at = text.indexOf('"', at + 2)
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

function findLineEnd(lines: Lines, from: number): number {
  let at = from
  while (at < lines.text.length && getBreakLength(lines, at) === 0) at += 1
  return at
}

function countBreaks(lines: Lines, from: number, to: number): number {
  let count = 0
  for (let at = findLineEnd(lines, from); at < to; at = findLineEnd(lines, at + getBreakLength(lines, at)))
    count += 1
  return count
}
