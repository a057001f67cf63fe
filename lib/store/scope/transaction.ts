import type pg from 'pg'
import { findDatabaseFault } from './unavailable'
import { getWriters } from './writers'

/** Runs `work` in a transaction that writes, on one connection of the pool's writers; an error rolls it back. */
export function withTransaction<T>(
  pool: pg.Pool,
  work: (client: pg.PoolClient) => Promise<T>,
  first?: string,
): Promise<T> {
  return runTransaction(getWriters(pool), work, first)
}

/**
 * Runs `work` in a transaction on one connection of this very pool; an error rolls it back. `first` is a statement sent
 * together with BEGIN.
 */
export async function runTransaction<T>(
  pool: pg.Pool,
  work: (client: pg.PoolClient) => Promise<T>,
  first = '',
): Promise<T> {
  const client = await pool.connect()
  let broken: Error | undefined
  try {
    await client.query(`begin; ${first}`)
    const result = await work(client)
    await client.query('commit')
    return result
  } catch (error) {
    // A database that does not answer is not asked once more.
    if (findDatabaseFault(error) === 'unreachable') broken = error as Error
    else
      await client.query('rollback').catch((failure: Error) => {
        broken = failure
      })
    throw error
  } finally {
    client.release(broken)
  }
}

/** Notes a point of a transaction. @returns a function that undoes what the transaction has written since. */
export async function setSavepoint(client: Queryable): Promise<() => Promise<void>> {
  await client.query('savepoint noted')
  return async () => {
    await client.query('rollback to savepoint noted')
  }
}

/** A pool, or one connection within a transaction. */
export type Queryable = Pick<pg.ClientBase, 'query'>
