import type pg from 'pg'
import { z } from 'zod'
import type { Scope } from '@/lib/policy/scope'
import { OUTCOMES } from '../scope/audit'
import { type Page, toPage } from '../scope/pages'
import { withScope } from '../scope/scope'
import { statement } from '../scope/statement'

const storedEntry = z.object({
  /** Numbers entries in the order in which they were written. */
  seq: z.string(),
  at: z.date(),
  who: z.string(),
  whoName: z.string(),
  address: z.string().nullable(),
  what: z.string(),
  subject: z.string().nullable(),
  before: z.unknown(),
  after: z.unknown(),
  outcome: z.enum(OUTCOMES),
  /** The number of refused attempts that the entry sums up. */
  count: z.number(),
})

/** One entry of the audit log; `at` in ms UTC. */
export type AuditEntry = Omit<z.infer<typeof storedEntry>, 'at'> & { at: number }

/** An absent field does not filter. Texts match anywhere, whatever the case. */
export interface AuditFilter {
  who?: string
  what?: string
  subject?: string
  /** From `fromAt` (inclusive) until `untilAt` (exclusive), ms UTC. */
  fromAt?: number
  untilAt?: number
  outcome?: AuditEntry['outcome']
}

/** The cursor of a page: the number of an entry. */
export const AUDIT_CURSOR = z.string().regex(/^\d{1,18}$/)

const MATCHING = `from audit_entry
   where ($1::text is null or who ilike $1 or who_name ilike $1 or address ilike $1)
     and ($2::text is null or what ilike $2)
     and ($3::text is null or subject ilike $3)
     and ($4::timestamptz is null or at >= $4)
     and ($5::timestamptz is null or at < $5)
     and ($6::text is null or outcome = $6)`

const NEWEST = statement(
  storedEntry,
  `select seq::text, at, who, who_name as "whoName", address, what, subject, before, after, outcome, count
   ${MATCHING} and ($7::bigint is null or seq < $7)
   order by audit_entry.seq desc limit $8`,
)

const COUNT = statement(
  z.object({ count: z.number() }),
  `select count(*)::int as count ${MATCHING} and seq <= $7::bigint`,
)

/**
 * The newest entries that match a filter, at most `limit`, older than the cursor `olderThan` (`AUDIT_CURSOR`) if it is
 * given. Empty for a scope that does not see everything.
 */
export async function listAuditEntries(
  pool: pg.Pool,
  scope: Scope,
  filter: AuditFilter,
  olderThan: string | null,
  limit: number,
): Promise<Page<AuditEntry>> {
  const rows = await withScope(pool, scope, (client) =>
    NEWEST.all(client, [...bindFilter(filter), olderThan, Math.floor(limit) + 1]),
  )
  const entries = rows.map((row) => ({ ...row, at: row.at.getTime() }))
  return toPage(entries, limit, ({ seq }) => seq)
}

/** The number of entries that match a filter, up to the one of number `newest`. */
export async function countAuditEntries(
  pool: pg.Pool,
  scope: Scope,
  filter: AuditFilter,
  newest: string,
): Promise<number> {
  const { count } = await withScope(pool, scope, (client) =>
    COUNT.one(client, [...bindFilter(filter), newest]),
  )
  return count
}

function bindFilter({ who, what, subject, fromAt, untilAt, outcome }: AuditFilter): unknown[] {
  const instant = (at: number | undefined) => (at === undefined ? null : new Date(at))
  return [...[who, what, subject].map(toPattern), instant(fromAt), instant(untilAt), outcome]
}

/** An `ilike` pattern that finds a text literally, anywhere. */
function toPattern(text: string | undefined): string | undefined {
  return text === undefined ? undefined : `%${text.replace(/[\\%_]/g, '\\$&')}%`
}
