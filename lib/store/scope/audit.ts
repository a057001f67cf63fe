import { toSqlInstant } from './sqlInstant'
import { command } from './statement'
import type { Queryable } from './transaction'

/** Who did something, as the audit log names them. */
export interface Actor {
  /** "person ID", "key ID", "command" or "nobody". */
  who: string
  name: string
  /** The network address of the request, if there was one. */
  address: string | null
}

/** The actor of a command run on the server itself. */
export const COMMAND: Actor = { who: 'command', name: 'a command on the server', address: null }

export const OUTCOMES = ['done', 'refused'] as const

/** One line of the audit log. */
export interface AuditLine {
  /** The action in a few words: "issued kits", "changed a protocol". They stay as they are, so that a search finds all entries. */
  what: string
  /** A kit code, an entry's code, or a person's id. */
  subject?: string | null
  before?: unknown
  after?: unknown
  outcome?: (typeof OUTCOMES)[number]
  /** How many refused attempts the line sums. */
  count?: number
}

const APPEND = command(
  `insert into audit_entry (at, who, who_name, address, what, subject, before, after, outcome, count)
   select $1::timestamptz, $2, $3, $4, what, subject, before::jsonb, after::jsonb, outcome, count
   from unnest($5::text[], $6::text[], $7::text[], $8::text[], $9::text[], $10::int[])
     as line (what, subject, before, after, outcome, count)`,
)

/** Appends lines to the audit log, in the transaction of the change itself. `now` in ms UTC. */
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
