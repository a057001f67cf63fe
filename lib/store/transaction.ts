import type pg from 'pg'

/** Names the lock of the one who writes to the ledgers and to what is derived from them. */
const WRITER = 'holdfast writer'

/** Runs `work` in a transaction on one connection; whatever it throws rolls everything back. */
export async function inTransaction<T>(
  pool: pg.Pool,
  work: (client: pg.PoolClient) => Promise<T>,
): Promise<T> {
  const client = await pool.connect()
  let broken: Error | undefined
  try {
    await client.query('begin')
    const result = await work(client)
    await client.query('commit')
    return result
  } catch (error) {
    await client.query('rollback').catch((failure: Error) => {
      broken = failure
    })
    throw error
  } finally {
    client.release(broken)
  }
}

/**
 * The same as the only writer, over all servers of the database. A sample is derived from what is committed, so two
 * that accepted events of one sample at once could each miss the other's; one after the other, neither can.
 */
export async function asWriter<T>(pool: pg.Pool, work: (client: pg.PoolClient) => Promise<T>): Promise<T> {
  return inTransaction(pool, async (client) => {
    await client.query('select pg_advisory_xact_lock(hashtext($1))', [WRITER])
    return work(client)
  })
}
