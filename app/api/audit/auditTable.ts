import type { CsvTable } from '@/lib/intake/formats/safeCsv'
import type { AuditEntry } from '@/lib/store/read/audit/auditEntries'

const COLUMNS = [
  'number',
  'at',
  'who',
  'name',
  'address',
  'what',
  'subject',
  'outcome',
  'count',
  'before',
  'after',
]

/** Pages of the record of who did what as tables of one CSV; times are UTC. */
export async function* auditTables(pages: AsyncIterable<{ rows: AuditEntry[] }>): AsyncGenerator<CsvTable> {
  yield [COLUMNS]
  for await (const { rows } of pages) yield rows.map(cellsOf)
}

function cellsOf(entry: AuditEntry): string[] {
  return [
    entry.seq,
    new Date(entry.at).toISOString(),
    entry.who,
    entry.whoName,
    entry.address ?? '',
    entry.what,
    entry.subject ?? '',
    entry.outcome,
    String(entry.count),
    json(entry.before),
    json(entry.after),
  ]
}

const json = (value: unknown) => (value === null ? '' : JSON.stringify(value))
