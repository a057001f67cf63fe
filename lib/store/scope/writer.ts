import type pg from 'pg'
import { z } from 'zod'
import { withScope } from './scope'
import { command, statement } from './statement'
import { getWriterQueue, getWriters } from './writers'

/** Name of the advisory lock of the writer to the ledgers and their projections. */
const WRITER_LOCK = 'holdfast writer'

/**
 * How long a writer waits for the one of another server, or for a table that someone has locked, ms: longer than a large
 * body takes, shorter than a person waits.
 */
const LOCK_TIMEOUT_MS = 10_000
/** The same for work that can as well be done later. */
const SHORT_LOCK_TIMEOUT_MS = 300
/** Longer than any statement of ours takes; chosen, no source. */
const STATEMENT_TIMEOUT_MS = 300_000

const SET_LIMITS = command(
  `select set_config('statement_timeout', '${STATEMENT_TIMEOUT_MS}', true), set_config('lock_timeout', $1, true)`,
)
const LOCK = command('select pg_advisory_xact_lock(hashtext($1))')
const TRY_LOCK = statement(
  z.object({ isOurs: z.boolean() }),
  'select pg_try_advisory_xact_lock(hashtext($1)) as "isOurs"',
)

/**
 * Runs `work` in a transaction that sees everything, as the only writer over all servers. Samples are derived from
 * committed events, so two writers that accept events of one sample at the same time could each miss the other's. The
 * writers of this process wait in a queue, and the first of them for those of other servers.
 * @throws TooManyWriters if the queue is full or the wait too long; an error of the database if a lock is not to be had.
 * Nothing is stored then.
 */
export function withWriteTransaction<T>(
  pool: pg.Pool,
  work: (client: pg.PoolClient) => Promise<T>,
): Promise<T> {
  return getWriterQueue(pool).run(() => writeAlone(pool, work))
}

/** The same for work that no request waits for. The caller ensures that there is little of it at a time. */
export function withBackgroundWrite<T>(
  pool: pg.Pool,
  work: (client: pg.PoolClient) => Promise<T>,
): Promise<T> {
  return getWriterQueue(pool).runInBackground(() => writeAlone(pool, work))
}

/** The same if nobody writes now, over all servers; else null, without waiting. */
export async function tryWriteTransaction<T>(
  pool: pg.Pool,
  work: (client: pg.PoolClient) => Promise<T>,
): Promise<{ result: T } | null> {
  const queue = getWriterQueue(pool)
  if (queue.hasWriters) return null
  return queue.runBriefly(() =>
    withScope(getWriters(pool), 'all', async (client) => {
      await SET_LIMITS.run(client, [String(SHORT_LOCK_TIMEOUT_MS)])
      const { isOurs } = await TRY_LOCK.one(client, [WRITER_LOCK])
      return isOurs ? { result: await work(client) } : null
    }),
  )
}

function writeAlone<T>(pool: pg.Pool, work: (client: pg.PoolClient) => Promise<T>): Promise<T> {
  return withScope(getWriters(pool), 'all', async (client) => {
    await SET_LIMITS.run(client, [String(LOCK_TIMEOUT_MS)])
    await LOCK.run(client, [WRITER_LOCK])
    return work(client)
  })
}
