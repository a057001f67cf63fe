import pg from 'pg'
import { z } from 'zod'
import { statement } from './statement'

/** The role of the running program. It owns nothing and cannot log in. */
export const appRole = 'holdfast_app'

/** The role that looks up people and keys before the principal is known. It sees no samples. */
export const authRole = 'holdfast_door'

export interface PoolOptions {
  /** Maximum number of connections; default 10. */
  max?: number
  /** How long a statement may take, ms; default for ever. */
  statementTimeoutMs?: number
  /** How long a statement may wait for a lock, ms; default for ever. */
  lockTimeoutMs?: number
  /**
   * How long a transaction may wait for its next statement, ms; default for ever. It ends those of a process that hangs,
   * whose locks would stop all others.
   */
  idleInTransactionTimeoutMs?: number
  /** How long connecting may take, ms; default 15 s. */
  connectTimeoutMs?: number
  /**
   * How long to wait for the answer to a statement, ms; default for ever. A database that hangs does not keep its own limit, so
   * this is longer than `statementTimeoutMs`.
   */
  answerTimeoutMs?: number
}

/**
 * A pool that works as the user of `url`, who owns the database: for migrations and for creating databases. Every
 * connection is in UTC, whatever the database, the user or the server defaults to.
 */
export function openOwnerPool(url: string, options: PoolOptions = {}): pg.Pool {
  return makePool(url, [], options)
}

/**
 * A pool that works as `holdfast_app`: for everything the running program does. The user of `url` must be a member of
 * that role, which migrating ensures. Every connection is in UTC.
 */
export function openAppPool(url: string, options: PoolOptions = {}): pg.Pool {
  return makePool(url, [`role=${appRole}`], options)
}

/** A pool that works as `holdfast_door`: for people, their sessions and API keys, and nothing else. */
export function openAuthPool(url: string, options: PoolOptions = {}): pg.Pool {
  return makePool(url, [`role=${authRole}`], options)
}

const ZONE = statement(z.object({ zone: z.string() }), "select current_setting('TimeZone') as zone")

/**
 * Checks that the sessions of a pool are in UTC: in another zone every stored instant would silently be off.
 * @throws Error with advice if they are not.
 */
export async function assertUtc(pool: pg.Pool): Promise<void> {
  const { zone } = await ZONE.one(pool)
  if (zone === 'UTC') return
  throw new Error(
    `The database session is in the time zone ${zone} although UTC was requested, so instants would be stored wrongly. A connection pooler that drops start-up options causes this: connect to PostgreSQL directly.`,
  )
}

function makePool(url: string, settings: string[], options: PoolOptions): pg.Pool {
  const address = new URL(url)
  const given = address.searchParams.get('options')
  address.searchParams.delete('options')
  const ours = ['TimeZone=UTC', ...settings, ...timeoutSettings(options)].map((setting) => `-c ${setting}`)
  const pool = new pg.Pool({
    connectionString: address.href,
    // Ours come last: PostgreSQL takes the later of two settings of one name.
    options: [...(given ? [given] : []), ...ours].join(' '),
    max: options.max ?? 10,
    connectionTimeoutMillis: options.connectTimeoutMs ?? 15_000,
    query_timeout: options.answerTimeoutMs,
  })
  // A broken connection fails its query and is replaced on next use. Without listeners, one that breaks while idle, or
  // before its user listens, would end the process.
  pool.on('error', () => {})
  pool.on('connect', (client) => client.on('error', () => {}))
  return pool
}

function timeoutSettings(options: PoolOptions): string[] {
  const settings = {
    statement_timeout: options.statementTimeoutMs,
    lock_timeout: options.lockTimeoutMs,
    idle_in_transaction_session_timeout: options.idleInTransactionTimeoutMs,
  }
  return Object.entries(settings).flatMap(([name, ms]) => (ms === undefined ? [] : `${name}=${ms}`))
}
