import { parseAuditFields, parseAuditFilter } from '@/app/audit/auditFilter'
import { csvReply } from '@/lib/intake/answers/csvReply'
import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import type { CsvTable } from '@/lib/intake/formats/safeCsv'
import { english } from '@/lib/messages/english'
import { getScope } from '@/lib/policy/principal'
import { type AuditEntry, listAuditEntries } from '@/lib/store/read/auditEntries'
import { iteratePages } from '@/lib/store/scope/pages'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../authorize'
import { withErrorHandling } from '../withErrorHandling'

const BATCH = 2_000

/** The audit log as CSV, newest first, filtered like its page. */
export const GET = withErrorHandling(async (request: Request) => {
  const principal = await authorize('GET /api/audit', request)
  if (principal instanceof Response) return principal
  const { searchParams } = new URL(request.url)
  const { filter, faults } = parseAuditFilter(
    english,
    parseAuditFields((key) => searchParams.get(key)),
  )
  const detail = Object.values(faults).join(' ')
  if (detail) return problemReply(problem('filter', 400, 'Filter cannot be used', detail))
  const read = (olderThan: string | null) =>
    listAuditEntries(getAppPool(), getScope(principal), filter, olderThan, BATCH)
  return csvReply('record', buildAuditTables(iteratePages(await read(null), read)))
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

/** Times are UTC. */
async function* buildAuditTables(pages: AsyncIterable<{ rows: AuditEntry[] }>): AsyncGenerator<CsvTable> {
  yield [COLUMNS]
  for await (const { rows } of pages) yield rows.map(toCells)
}

function toCells(entry: AuditEntry): string[] {
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
