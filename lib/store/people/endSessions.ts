import type pg from 'pg'
import { type Actor, type AuditLine, record } from '../scope/audit'

/** Which sessions of a person: one, all but one, or every one. */
export type WhichSessions = { id: string } | { allBut: string } | 'all'

/**
 * Ends sessions of a person and records each, in the transaction of `client`, which works as `holdfast_door`. Another's
 * session is as one that is not there. `now` in ms UTC.
 * @returns how many were ended.
 */
export async function endSessionsIn(
  client: pg.PoolClient,
  personId: string,
  which: WhichSessions,
  actor: Actor,
  now: number,
  what: 'ended a session' | 'signed out' = 'ended a session',
): Promise<number> {
  const [condition, values] =
    which === 'all'
      ? ['', []]
      : 'id' in which
        ? ['and id = $2', [which.id]]
        : ['and id <> $2', [which.allBut]]
  const { rows } = await client.query<{
    id: string
    address: string | null
    browser: string | null
    since: Date
  }>(
    `delete from session where person_id = $1 ${condition}
     returning id, nullif(ip_address, '') as address, user_agent as browser, created_at as since`,
    [personId, ...values],
  )
  const lines = rows.map(
    ({ id, address, browser, since }): AuditLine => ({
      what,
      subject: personId,
      before: { session: id, address, browser: browser ?? '', since: since.toISOString() },
    }),
  )
  if (lines.length > 0) await record(client, actor, lines, now)
  return lines.length
}
