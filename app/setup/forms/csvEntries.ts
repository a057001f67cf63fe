import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { readCsvRows } from '@/lib/intake/formats/csvRows'
import { ITEM_LIMITS, LIMITS, quote } from '@/lib/intake/formats/limits'
import { parseSafeCell } from '@/lib/intake/formats/safeCsv'
import { type Message, message } from '@/lib/messages/message'
import type { EntryContent, RegisterList } from '@/lib/store/ledger/registerEntries'
import type { RegisterEdit } from '@/lib/store/register/changeRegister'
import { ENTRY_FORMS, getEntryCode, getProblemField, mergeContent } from './entryForms'
import type { FormValues } from './formValues'
import { LIMIT_FIELDS, MAX_LIMITS } from './protocolForm'
import { UnusableCsv } from './unusableCsv'

/** What is wrong with one line of a CSV; lines count from 1. */
export interface LineFault {
  line: number
  detail: Message
}

/** The edits in a CSV, each with the first line of its entry. */
export interface CsvEntries {
  edits: (RegisterEdit & { line: number })[]
  lines: LineFault[]
}

interface Draft {
  code: string
  line: number
  values: FormValues
  /** A protocol's limits read so far. */
  limits: number
}

/**
 * Reads a CSV whose header has some of a list's columns. A row whose code is in the register changes only these columns;
 * a protocol has one row per limit. `newCode` creates a code for a kit without one, issued at `now` (ms UTC).
 * Throws UnusableCsv if the header is wrong or the list is too long.
 */
export function parseCsvEntries(
  list: RegisterList,
  text: string,
  register: RegisterDocument,
  newCode: () => string,
  now: number,
): CsvEntries {
  const form = ENTRY_FORMS[list]
  const known = new Map<string, EntryContent>(register[list].map((one) => [one.code, one]))
  const drafts = new Map<string, Draft>()
  const lines: LineFault[] = []
  let header: string[] | undefined
  let rows = 0
  for (const { line, cells, fault } of readCsvRows(text.replace(/^\ufeff/, ''), ITEM_LIMITS)) {
    rows += 1
    if (rows > LIMITS.listLines + 1)
      throw new UnusableCsv(message('setup.fault.manyLines', { max: LIMITS.listLines }))
    if (fault !== null) lines.push({ line, detail: fault })
    else if (!header) header = parseHeader(cells, form.columns)
    else if (cells.length !== header.length)
      lines.push({
        line,
        detail: message('setup.fault.cellCount', { cells: cells.length, columns: header.length }),
      })
    else addRow(line, toRowValues(header, cells))
  }
  if (!header) throw new UnusableCsv(message('setup.fault.noHeader', { columns: form.columns.join(',') }))

  function addRow(line: number, row: FormValues): void {
    const written = getEntryCode(list, row)
    const code = list === 'kits' && written === '' ? newCode() : written
    const first = drafts.get(code)
    if (first && list !== 'protocols') {
      lines.push({ line, detail: message('setup.fault.repeatedCode', { code, line: first.line }) })
      return
    }
    const entry = known.get(code)
    const draft = first ?? { code, line, values: getInitialValues(entry), limits: 0 }
    drafts.set(code, draft)
    if (list === 'protocols') addLimit(draft, row)
    else Object.assign(draft.values, row)
    if (form.columns.includes('code')) draft.values.code = code
    if (list === 'kits' && !draft.values.issuedAt) draft.values.issuedAt = new Date(now).toISOString()
  }

  function getInitialValues(entry: EntryContent | undefined): FormValues {
    if (!entry) return {}
    const values = form.toValues(entry)
    if (list !== 'protocols') return values
    return Object.fromEntries(Object.entries(values).filter(([name]) => !/\d$/.test(name)))
  }

  const edits = [...drafts.values()].flatMap(({ code, line, values, limits }) => {
    const { content, problems } = form.parse(values)
    for (const { field, detail } of problems)
      lines.push({
        line: line + Math.max(0, getRowNumber(field) - 1),
        detail: message('setup.fault.column', { column: stripRowNumber(field), problem: detail }),
      })
    if (limits > MAX_LIMITS)
      lines.push({
        line,
        detail: message('setup.fault.manyLimits', { max: MAX_LIMITS, code, count: limits }),
      })
    if (problems.length > 0 || limits > MAX_LIMITS) return []
    return [{ list, code, content: mergeContent(known.get(code), content), line }]
  })
  return { edits, lines }
}

/** A row's values by column, without the quote that `formatCsv` puts before a formula. */
function toRowValues(header: readonly string[], cells: readonly string[]): FormValues {
  return Object.fromEntries(header.map((name, index) => [name, parseSafeCell((cells[index] ?? '').trim())]))
}

function parseHeader(cells: readonly string[], columns: readonly string[]): string[] {
  const header = cells.map((cell) => cell.trim())
  const unknown = header.filter((name) => !columns.includes(name))
  if (unknown.length > 0)
    throw new UnusableCsv(
      message('setup.fault.unknownColumns', {
        count: unknown.length,
        names: quote(unknown.join('”, “')),
        columns: columns.join(','),
      }),
    )
  if (new Set(header).size < header.length) throw new UnusableCsv(message('setup.fault.repeatedColumn'))
  const identifying = columns.includes('code') ? ['code'] : columns.slice(0, 2)
  const missing = identifying.find((name) => !header.includes(name))
  if (missing) throw new UnusableCsv(message('setup.fault.missingColumn', { column: missing }))
  return header
}

function addLimit(draft: Draft, row: FormValues): void {
  draft.limits += 1
  for (const [name, cell] of Object.entries(row)) {
    if ((LIMIT_FIELDS as readonly string[]).includes(name)) draft.values[`${name}${draft.limits}`] = cell
    else if (cell !== '') draft.values[name] = cell
  }
}

const getRowNumber = (field: string) => Number(/\d+$/.exec(field)?.[0] ?? 1)
const stripRowNumber = (field: string) => field.replace(/\d+$/, '')

/** Entries of one table: some milliseconds of work. */
const TABLE_ENTRIES = 200

/** The rows of a list's CSV in tables of a few entries, the header in the first. */
export function* toCsvTables(list: RegisterList, register: RegisterDocument): Generator<string[][]> {
  const { columns } = ENTRY_FORMS[list]
  const entries = register[list] as EntryContent[]
  yield [[...columns]]
  for (let start = 0; start < entries.length; start += TABLE_ENTRIES) {
    const rows = entries.slice(start, start + TABLE_ENTRIES).flatMap((entry) => toEntryRows(list, entry))
    yield rows.map((row) => columns.map((column) => row[column] ?? ''))
  }
}

/** The number of rows of a list's CSV, without its header. */
export function countCsvRows(list: RegisterList, register: RegisterDocument): number {
  if (list !== 'protocols') return register[list].length
  return register.protocols.reduce((sum, { limits }) => sum + limits.length, 0)
}

function toEntryRows(list: RegisterList, entry: EntryContent): FormValues[] {
  const values = ENTRY_FORMS[list].toValues(entry)
  if (list !== 'protocols') return [values]
  const count = (entry.limits as unknown[]).length
  return Array.from({ length: count }, (_, index) => ({
    ...values,
    ...Object.fromEntries(LIMIT_FIELDS.map((name) => [name, values[`${name}${index + 1}`] ?? ''])),
  }))
}

/** Names the column that a problem of the register is about. */
export function describeCsvProblem(
  list: RegisterList,
  problem: Parameters<typeof getProblemField>[1],
): Message {
  const column = stripRowNumber(getProblemField(list, problem))
  return column === '' ? problem.detail : message('setup.fault.column', { column, problem: problem.detail })
}
