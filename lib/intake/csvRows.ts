import { CsvError, parse } from 'csv-parse/sync'

/** A row of a CSV text: the line on which it begins, from 1, and its cells, or what is wrong with it. */
export interface CsvRow {
  line: number
  cells: string[]
  fault: string | null
}

/** After so many rows that cannot be read, the rest of a text is given up: it is no CSV. */
const MOST_FAULTS = 1_000

/**
 * The rows of a CSV text as RFC 4180 has them; blank lines are left out. A line ends with CR LF or LF, mixed as they
 * come, or with CR alone in a text whose first line does; elsewhere a CR alone needs quotes around it.
 *
 * A row whose quotes do not add up costs the line on which it begins and no other: reading goes on with the next
 * line, so that one stray quote does not swallow the rows after it.
 */
export function* csvRows(text: string): Generator<CsvRow> {
  const delimiters = /\r\n|\n|\r/.exec(text)?.[0] === '\r' ? ['\r'] : ['\r\n', '\n']
  const hasBareReturns = delimiters.length > 1 && /\r(?!\n)/.test(text)
  const body = Buffer.from(text)
  let start = 0
  let line = 1
  for (let faults = 0; start < body.length; faults += 1) {
    const { rows, error } = readWhileSound(body.subarray(start), delimiters, hasBareReturns)
    for (const row of rows)
      if (row.cells.length > 1 || row.cells[0]?.trim()) yield { ...row, line: line + row.line }
    if (error === null) return
    // Past the blank lines, then the line that cannot be read.
    let from = start + error.after
    line += error.linesBefore
    let end = lineEndAfter(body, from, delimiters)
    for (; body.toString('utf8', from, end).trim() === ''; end = lineEndAfter(body, from, delimiters)) {
      line += 1
      from = end
    }
    const isEnough = faults + 1 === MOST_FAULTS
    yield {
      line,
      cells: [],
      fault: isEnough ? `${error.words}, as in many rows before: no row after it was read` : error.words,
    }
    if (isEnough) return
    line += 1
    start = end
  }
}

/** Where the line that begins at `from` ends, its line break included. */
function lineEndAfter(body: Buffer, from: number, delimiters: readonly string[]): number {
  const at = body.indexOf(delimiters.at(-1) as string, from)
  return at < 0 ? body.length : at + 1
}

interface Sound {
  /** Lines are counted from 0 here. */
  rows: CsvRow[]
  /** What is wrong with the row after them, and the bytes and lines before it; null where all could be read. */
  error: { words: string; after: number; linesBefore: number } | null
}

/** Reads rows until the quotes of one do not add up. */
function readWhileSound(body: Buffer, delimiters: string[], hasBareReturns: boolean): Sound {
  const rows: CsvRow[] = []
  let isBare = false
  let after = 0
  let lines = 0
  try {
    parse(body, {
      record_delimiter: delimiters,
      relax_column_count: true,
      info: true,
      ...(hasBareReturns
        ? {
            cast: (cell: string, { quoting }: { quoting: boolean }) => {
              if (!quoting && cell.includes('\r')) isBare = true
              return cell
            },
          }
        : {}),
      on_record: (found: unknown) => {
        const { record, info } = found as { record: string[]; info: { bytes: number } }
        rows.push({
          line: lines,
          cells: record,
          fault: isBare ? 'A carriage return stands outside quotes' : null,
        })
        isBare = false
        after = info.bytes
        lines += 1 + breaksWithin(record, delimiters)
        return null
      },
    })
    return { rows, error: null }
  } catch (error) {
    if (!(error instanceof CsvError)) throw error
    return { rows, error: { words: wordsFor(error), after, linesBefore: lines } }
  }
}

/** The line breaks within the cells of a row. */
function breaksWithin(cells: readonly string[], delimiters: readonly string[]): number {
  const mark = delimiters.at(-1) as string
  return cells.reduce((sum, cell) => (cell.includes(mark) ? sum + cell.split(mark).length - 1 : sum), 0)
}

function wordsFor(error: CsvError): string {
  if (error.code === 'CSV_QUOTE_NOT_CLOSED') return 'A quote opens a cell and none closes it'
  if (error.code === 'INVALID_OPENING_QUOTE') return 'A quote stands within a cell that has none around it'
  return 'Text follows the quote that closes a cell'
}
