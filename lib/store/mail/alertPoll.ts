import type pg from 'pg'
import { z } from 'zod'
import type { ChangesCheckpoint } from '../read/digest/sampleChanges'
import { command, statement } from '../scope/statement'

/** What is kept of a sample between two polls, to alert once when it becomes at risk. */
export interface Alarm {
  /** Whether it is alerted when it next becomes at risk. */
  isArmed: boolean
  /** When the sample stopped being at risk, ms UTC; null while it is at risk. */
  belowSince: number | null
  /** How many times it was alerted. */
  alertCount: number
}

/** One server polls at a time, or a change would be alerted twice. The lock is held for the transaction. */
const LOCK_POLL = statement(
  z.object({ isOurs: z.boolean() }),
  'select pg_try_advisory_xact_lock(7741016) as "isOurs"',
)
const LAST_POLL = statement(
  z.object({ lookedAt: z.date(), eventSeq: z.string() }),
  'select looked_at as "lookedAt", event_seq as "eventSeq" from at_once_look',
)

/**
 * Locks the poll for alerts for this transaction.
 * @returns false if another server polls; else the checkpoint of the last poll, null for the first.
 */
export async function beginAlertPoll(client: pg.PoolClient): Promise<false | ChangesCheckpoint | null> {
  if (!(await LOCK_POLL.one(client)).isOurs) return false
  const last = await LAST_POLL.first(client)
  return last ? { checkedAt: last.lookedAt.getTime(), eventSeq: last.eventSeq } : null
}

const SAVE_POLL = command(
  `insert into at_once_look (looked_at, event_seq) values ($1, $2)
   on conflict (id) do update set looked_at = excluded.looked_at, event_seq = excluded.event_seq`,
)

/** Saves the checkpoint for the next poll. */
export async function saveAlertPoll(
  client: pg.PoolClient,
  { checkedAt: lookedAt, eventSeq }: ChangesCheckpoint,
): Promise<void> {
  await SAVE_POLL.run(client, [new Date(lookedAt), eventSeq])
}

const ALARMS = statement(
  z.object({
    code: z.string(),
    isArmed: z.boolean(),
    belowSince: z.date().nullable(),
    alertCount: z.number(),
  }),
  `select code, is_armed as "isArmed", below_since as "belowSince", turns as "alertCount" from digest_alarm
   where code = any($1) or below_since is null`,
)

/** The alarms of these samples, and of all others that were at risk at the last poll, by kit code. */
export async function readAlarms(
  client: pg.PoolClient,
  codes: readonly string[],
): Promise<Map<string, Alarm>> {
  const rows = await ALARMS.all(client, [codes])
  return new Map(
    rows.map(({ code, belowSince, ...rest }) => [
      code,
      { ...rest, belowSince: belowSince?.getTime() ?? null },
    ]),
  )
}

const SAVE_ALARMS = command(
  `insert into digest_alarm (code, is_armed, below_since, turns)
   select * from unnest($1::text[], $2::boolean[], $3::timestamptz[], $4::int[])
   on conflict (code) do update set is_armed = excluded.is_armed, below_since = excluded.below_since,
     turns = excluded.turns`,
)

/** Upserts alarms by kit code. */
export async function saveAlarms(client: pg.PoolClient, alarms: ReadonlyMap<string, Alarm>): Promise<void> {
  const kept = [...alarms]
  if (kept.length === 0) return
  await SAVE_ALARMS.run(client, [
    kept.map(([code]) => code),
    kept.map(([, { isArmed }]) => isArmed),
    kept.map(([, { belowSince }]) => (belowSince === null ? null : new Date(belowSince))),
    kept.map(([, { alertCount }]) => alertCount),
  ])
}
