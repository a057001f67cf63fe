import { toSqlInstant } from './sqlInstant'
import { command } from './statement'
import type { Queryable } from './transaction'

/** Who did something, as the record names them. */
export interface Actor {
  /** "person ID", "key ID", "command" or "nobody". */
  who: string
  name: string
  /** The network address it came from, if it came over one. */
  address: string | null
}

/** The actor of what a person does with a command on the server itself. */
export const COMMAND: Actor = { who: 'command', name: 'a command on the server', address: null }

export const OUTCOMES = ['done', 'refused'] as const

/** One line of the record of who did what. */
export interface AuditLine {
  /** In a few words: "issued kits", "changed a protocol". */
  what: string
  /** A kit code, an entry's code, a person's id. */
  subject?: string | null
  before?: unknown
  after?: unknown
  outcome?: (typeof OUTCOMES)[number]
  /** How many refused attempts this sums. */
  count?: number
}

const APPEND = command(
  `insert into audit_entry (at, who, who_name, address, what, subject, before, after, outcome, count)
   select $1::timestamptz, $2, $3, $4, what, subject, before::jsonb, after::jsonb, outcome, count
   from unnest($5::text[], $6::text[], $7::text[], $8::text[], $9::text[], $10::int[])
     as line (what, subject, before, after, outcome, count)`,
)

/** Records what someone did at `now` (ms UTC), in the transaction in which it was done. */
export async function appendToAuditLog(
  db: Queryable,
  actor: Actor,
  lines: readonly AuditLine[],
  now: number,
): Promise<void> {
  const json = (value: unknown) => (value === undefined || value === null ? null : JSON.stringify(value))
  await APPEND.run(db, [
    toSqlInstant(now),
    actor.who,
    actor.name,
    actor.address,
    lines.map(({ what }) => what),
    lines.map(({ subject }) => subject ?? null),
    lines.map(({ before }) => json(before)),
    lines.map(({ after }) => json(after)),
    lines.map(({ outcome }) => outcome ?? 'done'),
    lines.map(({ count }) => count ?? 1),
  ])
}
