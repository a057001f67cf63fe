import { auditFields, auditFilter } from '@/app/audit/auditFilter'
import { csvReply } from '@/lib/intake/answers/csvReply'
import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import type { CsvTable } from '@/lib/intake/formats/safeCsv'
import { scopeOf } from '@/lib/policy/principal'
import { type AuditEntry, auditEntries } from '@/lib/store/read/auditEntries'
import { followPages } from '@/lib/store/scope/pages'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../answering'
import { asked } from '../asked'

const BATCH = 2_000

/** The record of who did what as CSV, newest first, as much of it as the search lets through. */
export const GET = answering(async (request: Request) => {
  const principal = await asked('GET /api/audit', request)
  if (principal instanceof Response) return principal
  const { searchParams } = new URL(request.url)
  const { filter, faults } = auditFilter(auditFields((key) => searchParams.get(key)))
  const detail = Object.values(faults).join(' ')
  if (detail) return problemReply(problem('filter', 400, 'Filter cannot be used', detail))
  const read = (olderThan: string | null) =>
    auditEntries(sharedPool(), scopeOf(principal), filter, olderThan, BATCH)
  return csvReply('record', auditTables(followPages(await read(null), read)))
})

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
async function* auditTables(pages: AsyncIterable<{ rows: AuditEntry[] }>): AsyncGenerator<CsvTable> {
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
