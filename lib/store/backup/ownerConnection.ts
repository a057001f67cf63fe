import type pg from 'pg'
import { openOwnerPool } from '../scope/pool'

/**
 * Runs `work` on one connection of the owner and closes it afterwards. A transaction that is still open is rolled back by
 * that, even if a COPY was broken off, after which the connection could run no ROLLBACK.
 */
export async function withOwnerConnection<T>(
  url: string,
  work: (client: pg.PoolClient) => Promise<T>,
): Promise<T> {
  const pool = openOwnerPool(url, { max: 1 })
  try {
    const client = await pool.connect()
    try {
      return await work(client)
    } finally {
      client.release(true)
    }
  } finally {
    await pool.end()
  }
}
