import { stringify } from 'csv-stringify/sync'

/** A cell that a spreadsheet would take for a formula. */
const FORMULA = /^[\s\uFEFF\p{Cc}]*[=+\-@＝＋－＠]|^[\t\r\n]/u

/** Rows as CSV, every cell in quotes, for a line break within it may be of another kind; each that begins like a formula made plain text. */
export function csv(rows: readonly (readonly string[])[]): string {
  return stringify(
    rows.map((row) => row.map((cell) => (FORMULA.test(cell) ? `'${cell}` : cell))),
    { quoted: true, record_delimiter: 'windows' },
  )
}

/** A cell without the apostrophe that `csv` put before what begins like a formula. */
export function cellOfSafeCsv(cell: string): string {
  return cell.startsWith("'") && FORMULA.test(cell.slice(1)) ? cell.slice(1) : cell
}
