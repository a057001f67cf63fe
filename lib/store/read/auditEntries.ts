import type pg from 'pg'
import { z } from 'zod'
import type { Scope } from '@/lib/policy/scope'
import { cutPage, type Page } from '../scope/pages'
import { inScope } from '../scope/scope'

/** One line of the record of who did what, as it is read. */
export interface AuditEntry {
  /** Lines are numbered in the order in which they were written. */
  seq: string
  /** ms UTC. */
  at: number
  who: string
  whoName: string
  address: string | null
  what: string
  subject: string | null
  before: unknown
  after: unknown
  outcome: 'done' | 'refused'
  /** How many refused attempts the line sums. */
  count: number
}

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
export const AUDIT_KEY = z.string().regex(/^\d{1,18}$/)

interface StoredEntry extends Omit<AuditEntry, 'at' | 'whoName'> {
  at: Date
  who_name: string
}

/**
 * The newest lines that a filter lets through, at most `most`, of those numbered below `olderThan` (an `AUDIT_KEY`) where it
 * is given. Only who sees everything is shown any.
 */
export async function auditEntries(
  pool: pg.Pool,
  scope: Scope,
  filter: AuditFilter,
  olderThan: string | null,
  most: number,
): Promise<Page<AuditEntry>> {
  const { conditions, values } = conditionsOf(filter, olderThan)
  const { rows } = await inScope(pool, scope, (client) =>
    client.query<StoredEntry>(
      `select seq::text, at, who, who_name, address, what, subject, before, after, outcome, count
       from audit_entry where ${conditions.join(' and ')} order by audit_entry.seq desc limit ${Math.floor(most) + 1}`,
      values,
    ),
  )
  const entries = rows.map(({ at, who_name, ...rest }) => ({ ...rest, at: at.getTime(), whoName: who_name }))
  return cutPage(entries, most, ({ seq }) => seq)
}

function conditionsOf(filter: AuditFilter, olderThan: string | null) {
  const conditions = ['true']
  const values: unknown[] = []
  const need = (condition: (position: string) => string, value: unknown) => {
    if (value === undefined || value === null) return
    values.push(value)
    conditions.push(condition(`$${values.length}`))
  }
  need((p) => `(who ilike ${p} or who_name ilike ${p} or address ilike ${p})`, somewhere(filter.who))
  need((p) => `what ilike ${p}`, somewhere(filter.what))
  need((p) => `subject ilike ${p}`, somewhere(filter.subject))
  need((p) => `at >= ${p}`, filter.fromAt === undefined ? undefined : new Date(filter.fromAt))
  need((p) => `at < ${p}`, filter.untilAt === undefined ? undefined : new Date(filter.untilAt))
  need((p) => `outcome = ${p}`, filter.outcome)
  need((p) => `seq < ${p}::bigint`, olderThan)
  return { conditions, values }
}

/** A pattern that finds the words as they stand, whatever signs are in them. */
function somewhere(words: string | undefined): string | undefined {
  return words === undefined ? undefined : `%${words.replace(/[\\%_]/g, '\\$&')}%`
}
