import { stringify } from 'csv-stringify/sync'

/** Rows of cells; the first row of a text names the columns. */
export type CsvTable = readonly (readonly string[])[]

/** A cell that a spreadsheet would take for a formula. */
const FORMULA = /^[\s\uFEFF\p{Cc}]*[=+\-@＝＋－＠]|^[\t\r\n]/u

/**
 * Rows as CSV (RFC 4180). Every cell stands in quotes, since a line break in one may be of another kind, and one that begins
 * like a formula gets an apostrophe before it, which makes it plain text.
 */
export function formatCsv(rows: CsvTable): string {
  return stringify(
    rows.map((row) => row.map((cell) => (FORMULA.test(cell) ? `'${cell}` : cell))),
    { quoted: true, record_delimiter: 'windows' },
  )
}

/** A cell without the apostrophe that `formatCsv` put before what begins like a formula. */
export function parseSafeCell(cell: string): string {
  return cell.startsWith("'") && FORMULA.test(cell.slice(1)) ? cell.slice(1) : cell
}
