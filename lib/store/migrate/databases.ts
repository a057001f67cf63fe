import pg from 'pg'
import { z } from 'zod'
import { openOwnerPool } from '../scope/pool'
import { withScope } from '../scope/scope'
import { command, statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'

export function getDatabaseName(url: string): string {
  return decodeURIComponent(new URL(url).pathname.slice(1))
}

/** The same connection URL with another database. */
export function withDatabase(url: string, name: string): string {
  const address = new URL(url)
  address.pathname = `/${encodeURIComponent(name)}`
  return address.href
}

const DATABASE = command('select from pg_database where datname = $1')

/** Whether the server of `url` has a database of this name. */
export async function databaseExists(url: string, name: string): Promise<boolean> {
  return withServer(url, async (server) => (await DATABASE.run(server, [name])) > 0)
}

/**
 * Creates the database of `url` unless it exists; safe to call concurrently.
 * @returns whether it was created now.
 * @throws Error with advice if the user lacks the right.
 */
export async function ensureDatabase(url: string): Promise<boolean> {
  return makeDatabase(url)
}

/** Creates the database of `url` as a copy of `template`, which must have no connections. */
export async function copyDatabase(url: string, template: string): Promise<void> {
  await makeDatabase(url, template)
}

async function makeDatabase(url: string, template?: string): Promise<boolean> {
  const name = getDatabaseName(url)
  return withServer(url, async (server) => {
    if ((await DATABASE.run(server, [name])) > 0) return false
    const from = template ? ` template ${pg.escapeIdentifier(template)}` : ''
    try {
      await server.query(`create database ${pg.escapeIdentifier(name)}${from}`)
      return true
    } catch (error) {
      const code = getErrorCode(error)
      if (code === '42P04' || code === '23505') return false
      if (code === '42501') {
        throw new Error(
          `The database ${name} does not exist, and the user of DATABASE_URL may not create it. Ask the server’s administrator to run: CREATE DATABASE ${pg.escapeIdentifier(name)} OWNER ${pg.escapeIdentifier(getUserName(url))};`,
        )
      }
      throw error
    }
  })
}

/**
 * Drops the database of `url` if it exists.
 * @param isForced ends other sessions on it first; otherwise they make it fail.
 * @throws Error with advice if others are connected or the user lacks the right.
 */
export async function dropDatabase(url: string, isForced = false): Promise<void> {
  const name = getDatabaseName(url)
  await withServer(url, async (server) => {
    try {
      await server.query(
        `drop database if exists ${pg.escapeIdentifier(name)}${isForced ? ' with (force)' : ''}`,
      )
    } catch (error) {
      if (getErrorCode(error) === '55006') {
        throw new Error(
          `The database ${name} is in use. Stop whatever is connected to it (such as a running Holdfast), then try again.`,
        )
      }
      if (getErrorCode(error) === '42501')
        throw new Error(`The user of DATABASE_URL does not own the database ${name} and may not drop it.`)
      throw error
    }
  })
}

/** Renames the database of `url`, which must have no connections. */
export async function renameDatabase(url: string, name: string): Promise<void> {
  const [from, to] = [pg.escapeIdentifier(getDatabaseName(url)), pg.escapeIdentifier(name)]
  await withServer(url, (server) => server.query(`alter database ${from} rename to ${to}`))
}

const TABLE = statement(z.object({ isThere: z.boolean() }), 'select to_regclass($1) is not null as "isThere"')

/** Whether a database has a table, given with its schema. */
export async function hasTable(db: Queryable, name: string): Promise<boolean> {
  return (await TABLE.one(db, [name])).isThere
}

const ENTRY = command('select from register_entry limit 1')
const PERSON = command('select from person limit 1')

/** Whether a programme has been started: the register ledger has entries, or someone can sign in. */
export async function isProgrammeStarted(url: string): Promise<boolean> {
  const pool = openOwnerPool(url, { max: 1 })
  try {
    return await withScope(pool, 'all', async (client) => {
      if ((await hasTable(client, 'public.register_entry')) && (await ENTRY.run(client)) > 0) return true
      return (await hasTable(client, 'public.person')) && (await PERSON.run(client)) > 0
    })
  } finally {
    await pool.end()
  }
}

/**
 * Runs on the server's maintenance database, since a database cannot be created or dropped from within. CREATE, DROP
 * and ALTER DATABASE can be neither prepared nor bound to a parameter.
 */
async function withServer<T>(url: string, work: (server: pg.Pool) => Promise<T>): Promise<T> {
  const pool = openOwnerPool(withDatabase(url, 'postgres'), { max: 1 })
  try {
    return await work(pool)
  } finally {
    await pool.end()
  }
}

function getErrorCode(error: unknown): string | undefined {
  return (error as { code?: string }).code
}

function getUserName(url: string): string {
  return decodeURIComponent(new URL(url).username)
}
