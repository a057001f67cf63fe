import type pg from 'pg'
import type { SendTime } from '@/lib/schedule/sendAt'
import { type Actor, record } from '../scope/audit'
import { inTransaction } from '../scope/transaction'

/** Monday at seven, unless the programme says otherwise. */
const USUAL_TIME: SendTime = { weekday: 1, minuteOfDay: 7 * 60 }

/** When in its week the programme's mail goes, in each reader's zone. Works as `holdfast_door`. */
export async function digestTime(door: pg.Pool | pg.PoolClient): Promise<SendTime> {
  const { rows } = await door.query<SendTime>(
    'select weekday, minute_of_day as "minuteOfDay" from digest_time',
  )
  return rows[0] ?? USUAL_TIME
}

/** Sets it and records it. A week whose mail has gone gets no other. `now` in ms UTC. */
export async function setDigestTime(
  door: pg.Pool,
  after: SendTime,
  actor: Actor,
  now: number,
): Promise<void> {
  await inTransaction(door, async (client) => {
    const before = await digestTime(client)
    await client.query(
      `insert into digest_time (weekday, minute_of_day) values ($1, $2)
       on conflict (id) do update set weekday = excluded.weekday, minute_of_day = excluded.minute_of_day`,
      [after.weekday, after.minuteOfDay],
    )
    await record(client, actor, [{ what: 'set the time of the weekly mail', before, after }], now)
  })
}
