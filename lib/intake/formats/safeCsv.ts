import { stringify } from 'csv-stringify/sync'

/** The first row names the columns. */
export type CsvTable = readonly (readonly string[])[]

/** Cells that a spreadsheet would run as a formula. */
const FORMULA = /^[\s\uFEFF\p{Cc}]*[=+\-@＝＋－＠]|^[\t\r\n]/u

/**
 * Writes CSV (RFC 4180). Every cell is quoted, since line breaks vary. A cell that looks like a formula gets an
 * apostrophe, which makes it plain text.
 */
export function formatCsv(rows: CsvTable): string {
  return stringify(
    rows.map((row) => row.map((cell) => (FORMULA.test(cell) ? `'${cell}` : cell))),
    { quoted: true, record_delimiter: 'windows' },
  )
}

/** Removes the apostrophe that `formatCsv` added. */
export function parseSafeCell(cell: string): string {
  return cell.startsWith("'") && FORMULA.test(cell.slice(1)) ? cell.slice(1) : cell
}
