import type pg from 'pg'
import { withScope } from './scope'
import { command } from './statement'

/** Names the lock of the one who writes to the ledgers and to what is derived from them. */
const WRITER_LOCK = 'holdfast writer'

// A large body takes its time; what hangs must not hold up every other for good.
const SET_LIMITS = command(
  "select set_config('statement_timeout', '10min', true), set_config('lock_timeout', '2min', true)",
)
const LOCK = command('select pg_advisory_xact_lock(hashtext($1))')

/**
 * Runs `work` in a transaction that sees everything, as the only writer over all servers of the database. A sample is
 * derived from what is committed, so two that accepted events of one sample at once could each miss the other's; one
 * after the other, neither can.
 */
export async function withWriteTransaction<T>(
  pool: pg.Pool,
  work: (client: pg.PoolClient) => Promise<T>,
): Promise<T> {
  return withScope(pool, 'all', async (client) => {
    await SET_LIMITS.run(client)
    await LOCK.run(client, [WRITER_LOCK])
    return work(client)
  })
}
