import { parseAuditFields, parseAuditFilter } from '@/app/audit/auditFilter'
import { recordDownload } from '@/lib/access/session/recordDownload'
import { csvReply } from '@/lib/intake/answers/csvReply'
import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import type { CsvTable } from '@/lib/intake/formats/safeCsv'
import { english } from '@/lib/messages/english'
import { getScope } from '@/lib/policy/principal'
import { type AuditEntry, countAuditEntries, listAuditEntries } from '@/lib/store/read/auditEntries'
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
  const fields = parseAuditFields((key) => searchParams.get(key))
  const { filter, faults } = parseAuditFilter(english, fields)
  const detail = Object.values(faults).join(' ')
  if (detail) return problemReply(problem('filter', 400, 'Filter cannot be used', detail))
  const scope = getScope(principal)
  const read = (olderThan: string | null) => listAuditEntries(getAppPool(), scope, filter, olderThan, BATCH)
  const first = await read(null)
  const newest = first.rows[0]?.seq
  const rows = newest ? await countAuditEntries(getAppPool(), scope, filter, newest) : 0
  await recordDownload(principal, request, {
    what: 'downloaded the audit log',
    rows,
    search: Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== '')),
  })
  return csvReply('record', buildAuditTables(iteratePages(first, read)))
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
