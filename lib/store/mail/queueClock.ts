import type pg from 'pg'
import { CLOCK_QUEUE, POLL_QUEUE, QUEUE_SCHEMA } from '../migrate/queueSchema'
import { command } from '../scope/statement'

/** A time this little ahead is another server's, ms: its clock differs, or its transaction began later. */
export const MAX_CLOCK_DIFFERENCE_MS = 2 * 60_000
const TOLERANCE = `interval '${MAX_CLOCK_DIFFERENCE_MS} ms'`
/** Longer than any delay of a retry, which is six hours at most. */
const MAX_DELAY = "interval '12 hours'"

const isAhead = (column: string) => `${column} > now() + ${TOLERANCE}`
const reset = (column: string) => `${column} = case when ${isAhead(column)} then null else ${column} end`
const TURNS = ['cron_on', 'maintained_on', 'monitored_on']

/** When pg-boss last polled and looked for dead senders: it does so again only after that. */
const RESET_TURNS = command(
  `update ${QUEUE_SCHEMA}.version set ${TURNS.map(reset).join(', ')} where ${TURNS.map(isAhead).join(' or ')}`,
)
const RESET_STARTS = command(
  `update ${QUEUE_SCHEMA}.job set start_after = now() where ${isAhead('start_after')} and (
     state = 'created' or state = 'retry' and (${isAhead('created_on')} or start_after > now() + ${MAX_DELAY}))`,
)
const RESET_ACTIVE = command(
  `update ${QUEUE_SCHEMA}.job set started_on = now() where state = 'active' and ${isAhead('started_on')}`,
)
/** A finished poll would keep its minute from being polled when that comes. */
const DELETE_POLLS = command(
  `delete from ${QUEUE_SCHEMA}.job where name in ('${POLL_QUEUE}', '${CLOCK_QUEUE}') and state >= 'completed'
     and singleton_on > (now() at time zone 'UTC') + ${TOLERANCE}`,
)

/**
 * Takes back the times that the queue stored while the clock was ahead: without that, nothing would be polled or sent until the
 * clock had caught up with them. Changes nothing else.
 */
export async function resetQueueTimesAhead(authPool: pg.Pool): Promise<void> {
  for (const statement of [RESET_TURNS, RESET_STARTS, RESET_ACTIVE, DELETE_POLLS])
    await statement.run(authPool)
}
