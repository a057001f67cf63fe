import pg from 'pg'
import { z } from 'zod'
import { statement } from './statement'

/** The role that the running program works as. It owns nothing and can not sign in by itself. */
export const appRole = 'holdfast_app'

/** The role that looks up people and keys, before it is known who asks. It sees no sample. */
export const authRole = 'holdfast_door'

export interface PoolOptions {
  /** Connections at most; 10 unless said. */
  max?: number
  /** Milliseconds after which the server gives up a statement; no limit unless said. */
  statementTimeoutMs?: number
}

/**
 * A pool that works as the user of `url`, who owns the database: for migrations and for making databases.
 * Every connection is in UTC, whatever the database, the user or the server would choose.
 */
export function openOwnerPool(url: string, options: PoolOptions = {}): pg.Pool {
  return makePool(url, [], options)
}

/**
 * A pool on the same database that works as `holdfast_app`: for everything the running program does. The user of `url` must be
 * a member of that role; migrating sees to it. Every connection is in UTC.
 */
export function openAppPool(url: string, options: PoolOptions = {}): pg.Pool {
  return makePool(url, [`role=${appRole}`], options)
}

/** The same as `holdfast_door`: for people, their sessions and the keys of machines, and nothing else. */
export function openAuthPool(url: string, options: PoolOptions = {}): pg.Pool {
  return makePool(url, [`role=${authRole}`], options)
}

const ZONE = statement(z.object({ zone: z.string() }), "select current_setting('TimeZone') as zone")

/**
 * Checks that sessions of a pool are in UTC, since everything stored would silently be off by the zone's offset otherwise.
 * @throws Error, in a sentence, if one is not.
 */
export async function assertUtc(pool: pg.Pool): Promise<void> {
  const { zone } = await ZONE.one(pool)
  if (zone === 'UTC') return
  throw new Error(
    `The database session is in the time zone ${zone} although UTC was asked for, so instants would be stored wrongly. A connection pooler that drops start-up options does this: connect to PostgreSQL directly.`,
  )
}

function makePool(url: string, settings: string[], options: PoolOptions): pg.Pool {
  const address = new URL(url)
  const given = address.searchParams.get('options')
  address.searchParams.delete('options')
  const ours = ['TimeZone=UTC', ...settings, ...timeoutSettings(options)].map((setting) => `-c ${setting}`)
  const pool = new pg.Pool({
    connectionString: address.href,
    // Ours come last, because of two settings of one name PostgreSQL takes the later.
    options: [...(given ? [given] : []), ...ours].join(' '),
    max: options.max ?? 10,
    connectionTimeoutMillis: 15_000,
  })
  // A connection that breaks fails the query that it has, and is replaced at its next use. Without listeners one that
  // breaks while it is idle, or before who asked for it listens, would end the process.
  pool.on('error', () => {})
  pool.on('connect', (client) => client.on('error', () => {}))
  return pool
}

function timeoutSettings({ statementTimeoutMs }: PoolOptions): string[] {
  return statementTimeoutMs === undefined ? [] : [`statement_timeout=${statementTimeoutMs}`]
}
