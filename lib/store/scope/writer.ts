import type pg from 'pg'
import { withScope } from './scope'
import { command } from './statement'

/** Name of the advisory lock of the writer to the ledgers and their projections. */
const WRITER_LOCK = 'holdfast writer'

// A large body takes time; a hanging writer must not block the others for good.
const SET_LIMITS = command(
  "select set_config('statement_timeout', '10min', true), set_config('lock_timeout', '2min', true)",
)
const LOCK = command('select pg_advisory_xact_lock(hashtext($1))')

/**
 * Runs `work` in a transaction that sees everything, as the only writer over all servers. Samples are derived from
 * committed events, so two writers that accept events of one sample at the same time could each miss the other's.
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
