import type pg from 'pg'
import { z } from 'zod'
import type { Scope } from '@/lib/policy/scope'
import { OUTCOMES } from '../scope/audit'
import { type Page, toPage } from '../scope/pages'
import { withScope } from '../scope/scope'
import { statement } from '../scope/statement'

const storedEntry = z.object({
  /** Lines are numbered in the order in which they were written. */
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
  /** How many refused attempts the line sums. */
  count: z.number(),
})

/** One line of the record of who did what, as it is read; `at` in ms UTC. */
export type AuditEntry = Omit<z.infer<typeof storedEntry>, 'at'> & { at: number }

/** Which lines are wanted; what is absent does not limit. Words are looked for anywhere, in capitals or small letters. */
export interface AuditFilter {
  who?: string
  what?: string
  subject?: string
  /** From this instant on, and before that one (ms UTC). */
  fromAt?: number
  untilAt?: number
  outcome?: AuditEntry['outcome']
}

/** What pages of the record are cut by: the number of a line. */
export const AUDIT_CURSOR = z.string().regex(/^\d{1,18}$/)

const NEWEST = statement(
  storedEntry,
  `select seq::text, at, who, who_name as "whoName", address, what, subject, before, after, outcome, count
   from audit_entry
   where ($1::text is null or who ilike $1 or who_name ilike $1 or address ilike $1)
     and ($2::text is null or what ilike $2)
     and ($3::text is null or subject ilike $3)
     and ($4::timestamptz is null or at >= $4)
     and ($5::timestamptz is null or at < $5)
     and ($6::text is null or outcome = $6)
     and ($7::bigint is null or seq < $7)
   order by audit_entry.seq desc limit $8`,
)

/**
 * The newest lines that a filter lets through, at most `most`, of those numbered below `olderThan` (an `AUDIT_CURSOR`) where it
 * is given. Only who sees everything is shown any.
 */
export async function listAuditEntries(
  pool: pg.Pool,
  scope: Scope,
  filter: AuditFilter,
  olderThan: string | null,
  most: number,
): Promise<Page<AuditEntry>> {
  const { who, what, subject, fromAt, untilAt, outcome } = filter
  const instant = (at: number | undefined) => (at === undefined ? null : new Date(at))
  const rows = await withScope(pool, scope, (client) =>
    NEWEST.all(client, [
      ...[who, what, subject].map(toPattern),
      instant(fromAt),
      instant(untilAt),
      outcome,
      olderThan,
      Math.floor(most) + 1,
    ]),
  )
  const entries = rows.map((row) => ({ ...row, at: row.at.getTime() }))
  return toPage(entries, most, ({ seq }) => seq)
}

/** A pattern that finds the words as they stand, whatever signs are in them. */
function toPattern(words: string | undefined): string | undefined {
  return words === undefined ? undefined : `%${words.replace(/[\\%_]/g, '\\$&')}%`
}
