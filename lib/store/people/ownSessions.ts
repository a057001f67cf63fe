import type pg from 'pg'
import { type Actor, record } from '../scope/audit'
import { inTransaction } from '../scope/transaction'
import { endSessionsIn, type WhichSessions } from './endSessions'

/** One browser on which a person is signed in. Times in ms UTC. */
export interface OwnSession {
  id: string
  /** Network address from which it was begun, if it came over one. */
  address: string | null
  /** What the browser calls itself. */
  browser: string
  sinceAt: number
  seenAt: number
}

/** Where a person is signed in now, the latest seen first. */
export async function ownSessions(door: pg.Pool, personId: string, now: number): Promise<OwnSession[]> {
  const { rows } = await door.query<{
    id: string
    address: string | null
    browser: string | null
    since: Date
    seen: Date
  }>(
    `select id, nullif(ip_address, '') as address, user_agent as browser, created_at as since, updated_at as seen
     from session where person_id = $1 and expires_at > $2 order by updated_at desc, id`,
    [personId, new Date(now)],
  )
  return rows.map(({ since, seen, browser, ...row }) => ({
    ...row,
    browser: browser ?? '',
    sinceAt: since.getTime(),
    seenAt: seen.getTime(),
  }))
}

/** Ends sessions of a person, and records each in the same transaction. @returns how many were ended. */
export async function endSessions(
  door: pg.Pool,
  personId: string,
  which: WhichSessions,
  actor: Actor,
  now: number,
  what?: Parameters<typeof endSessionsIn>[5],
): Promise<number> {
  return inTransaction(door, (client) => endSessionsIn(client, personId, which, actor, now, what))
}

/** A passkey of a person. */
export interface OwnPasskey {
  id: string
  name: string
  sinceAt: number
}

export async function ownPasskeys(door: pg.Pool, personId: string): Promise<OwnPasskey[]> {
  const { rows } = await door.query<{ id: string; name: string | null; since: Date | null }>(
    'select id, name, created_at as since from passkey where person_id = $1 order by created_at, id',
    [personId],
  )
  return rows.map(({ id, name, since }) => ({
    id,
    name: name || 'a passkey',
    sinceAt: since?.getTime() ?? 0,
  }))
}

/** Takes a passkey of a person away, and records it. Another's is as one that is not there. */
export async function removePasskey(
  door: pg.Pool,
  personId: string,
  id: string,
  actor: Actor,
  now: number,
): Promise<void> {
  await inTransaction(door, async (client) => {
    const { rows } = await client.query<{ name: string | null }>(
      'delete from passkey where person_id = $1 and id = $2 returning name',
      [personId, id],
    )
    if (rows[0])
      await record(
        client,
        actor,
        [{ what: 'removed a passkey', subject: personId, before: { name: rows[0].name } }],
        now,
      )
  })
}
