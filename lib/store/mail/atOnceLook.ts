import type pg from 'pg'
import type { TurnsLook } from '../read/digest/sampleTurns'

/** Whether a sample's turn to at risk is to be told; see `Alarm` of the digest. Instants in ms UTC. */
export interface StoredAlarm {
  isArmed: boolean
  belowSince: number | null
  turns: number
}

/** No two servers look at once: the second would tell a turn of the first anew. Held as long as the transaction. */
const LOOK_LOCK = 7_741_016

/**
 * Takes the look at what is to be told at once for this transaction.
 * @returns false where another server has it; else up to where the last one looked, null for the first.
 */
export async function beginLook(client: pg.PoolClient): Promise<false | TurnsLook | null> {
  const { rows } = await client.query<{ isOurs: boolean }>(
    'select pg_try_advisory_xact_lock($1) as "isOurs"',
    [LOOK_LOCK],
  )
  if (!rows[0]?.isOurs) return false
  const last = await client.query<{ lookedAt: Date; eventSeq: string }>(
    'select looked_at as "lookedAt", event_seq::text as "eventSeq" from at_once_look',
  )
  const [look] = last.rows
  return look ? { lookedAt: look.lookedAt.getTime(), eventSeq: look.eventSeq } : null
}

export async function keepLook(client: pg.PoolClient, { lookedAt, eventSeq }: TurnsLook): Promise<void> {
  await client.query(
    `insert into at_once_look (looked_at, event_seq) values ($1, $2)
     on conflict (id) do update set looked_at = excluded.looked_at, event_seq = excluded.event_seq`,
    [new Date(lookedAt), eventSeq],
  )
}

/** The alarms of these samples, and of all others that were at risk at the last look, by kit code. */
export async function alarmsOf(
  client: pg.PoolClient,
  codes: readonly string[],
): Promise<Map<string, StoredAlarm>> {
  const { rows } = await client.query<
    Omit<StoredAlarm, 'belowSince'> & { code: string; belowSince: Date | null }
  >(
    `select code, is_armed as "isArmed", below_since as "belowSince", turns from digest_alarm
     where code = any($1) or below_since is null`,
    [codes],
  )
  return new Map(
    rows.map(({ code, belowSince, ...rest }) => [
      code,
      { ...rest, belowSince: belowSince?.getTime() ?? null },
    ]),
  )
}

export async function keepAlarms(
  client: pg.PoolClient,
  alarms: ReadonlyMap<string, StoredAlarm>,
): Promise<void> {
  const kept = [...alarms]
  if (kept.length === 0) return
  await client.query(
    `insert into digest_alarm (code, is_armed, below_since, turns)
     select * from unnest($1::text[], $2::boolean[], $3::timestamptz[], $4::int[])
     on conflict (code) do update set is_armed = excluded.is_armed, below_since = excluded.below_since,
       turns = excluded.turns`,
    [
      kept.map(([code]) => code),
      kept.map(([, { isArmed }]) => isArmed),
      kept.map(([, { belowSince }]) => (belowSince === null ? null : new Date(belowSince))),
      kept.map(([, { turns }]) => turns),
    ],
  )
}
