import type pg from 'pg'
import { z } from 'zod'
import type { SendTime } from '@/lib/schedule/sendTime'
import { type Actor, appendToAuditLog } from '../scope/audit'
import { command, statement } from '../scope/statement'
import { withTransaction } from '../scope/transaction'

/** Monday at seven. */
const DEFAULT_TIME: SendTime = { weekday: 1, minuteOfDay: 7 * 60 }

const TIME = statement(
  z.object({ weekday: z.number(), minuteOfDay: z.number() }),
  'select weekday, minute_of_day as "minuteOfDay" from digest_time',
)

/** The weekday and time of the weekly mail, in each reader's zone. Works as `holdfast_door`. */
export async function readDigestTime(authPool: pg.Pool | pg.PoolClient): Promise<SendTime> {
  return (await TIME.first(authPool)) ?? DEFAULT_TIME
}

const SET_TIME = command(
  `insert into digest_time (weekday, minute_of_day) values ($1, $2)
   on conflict (id) do update set weekday = excluded.weekday, minute_of_day = excluded.minute_of_day`,
)

/** Sets the time and audits it. A week whose mail has gone gets no second one. `now` in ms UTC. */
export async function setDigestTime(
  authPool: pg.Pool,
  after: SendTime,
  actor: Actor,
  now: number,
): Promise<void> {
  await withTransaction(authPool, async (client) => {
    const before = await readDigestTime(client)
    await SET_TIME.run(client, [after.weekday, after.minuteOfDay])
    await appendToAuditLog(client, actor, [{ what: 'set the time of the weekly mail', before, after }], now)
  })
}
