import { type AuditFilter, auditEntries, type Scope } from '@/lib/store'
import { csv } from './safeCsv'

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

const BATCH = 2_000

/**
 * The lines of the record that a filter lets through, newest first, as CSV (RFC 4180), some at a time so that none of
 * it need be held. A cell that a spreadsheet would take for a formula gets an apostrophe before it.
 */
export async function* auditExport(scope: Scope, filter: AuditFilter): AsyncGenerator<string> {
  yield csv([COLUMNS])
  let olderThan: string | null = null
  do {
    const page = await auditEntries(scope, filter, olderThan, BATCH)
    if (page.entries.length > 0)
      yield csv(
        page.entries.map((entry) => [
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
        ]),
      )
    olderThan = page.olderThan
  } while (olderThan !== null)
}

const json = (value: unknown) => (value === null ? '' : JSON.stringify(value))
