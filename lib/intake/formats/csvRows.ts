/** A row of a CSV text: the line on which it begins, from 1, and its cells, or what is wrong with it. */
export interface CsvRow {
  line: number
  cells: string[]
  fault: string | null
}

/**
 * The rows of a CSV text as RFC 4180 has them; blank lines are left out. A line ends with CR LF or LF, mixed as they
 * come, or with CR alone in a text whose first line does; elsewhere a CR alone needs quotes around it.
 *
 * A row whose quotes do not add up costs the line on which it begins and no other: reading goes on with the next
 * line, so that one stray quote does not swallow the rows after it.
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

interface Lines {
  text: string
  isCrABreak: boolean
}

const [QUOTE, COMMA, LF, CR] = [34, 44, 10, 13]

/** The row that begins at `start`: its cells, and where its line break (or the text's end) stands. */
function readRow(lines: Lines, start: number): { cells: string[]; end: number; fault: string | null } {
  const { text } = lines
  const cells: string[] = []
  let at = start
  const faulty = (fault: string) => ({ cells, end: at, fault })
  for (;;) {
    if (text.charCodeAt(at) === QUOTE) {
      const close = findClosingQuote(text, at + 1)
      if (close < 0) return faulty('A quote opens a cell and none closes it')
      cells.push(text.slice(at + 1, close).replaceAll('""', '"'))
      at = close + 1
    } else {
      const from = at
      while (at < text.length && !isSpecial(text.charCodeAt(at))) at += 1
      if (text.charCodeAt(at) === QUOTE) return faulty('A quote stands within a cell that has none around it')
      cells.push(text.slice(from, at))
    }
    if (at === text.length || getBreakLength(lines, at) > 0) return { cells, end: at, fault: null }
    if (text.charCodeAt(at) === CR) return faulty('A carriage return stands outside quotes')
    if (text.charCodeAt(at) !== COMMA) return faulty('Text follows the quote that closes a cell')
    at += 1
  }
}

/** Where the quote stands that closes a cell whose text begins at `from`; -1 where none does. */
function findClosingQuote(text: string, from: number): number {
  let at = text.indexOf('"', from)
  while (at >= 0 && text.charCodeAt(at + 1) === QUOTE) at = text.indexOf('"', at + 2)
  return at
}

function isSpecial(code: number): boolean {
  return code === COMMA || code === LF || code === CR || code === QUOTE
}

/** How many characters the line break at `at` takes; 0 where there is none. */
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

/** The line breaks within a stretch of text. */
function countBreaks(lines: Lines, from: number, to: number): number {
  let count = 0
  for (let at = findLineEnd(lines, from); at < to; at = findLineEnd(lines, at + getBreakLength(lines, at)))
    count += 1
  return count
}
