import type pg from 'pg'
import { environment } from '../environment'
import { appPool, doorPool } from './pool'

const shared = globalThis as typeof globalThis & { holdfastPool?: pg.Pool; holdfastDoor?: pg.Pool }

/**
 * The one pool of this process, working as `holdfast_app` on DATABASE_URL. It is kept on `globalThis`, because Next loads a module
 * more than once in one process. Nothing connects before the first query, so building needs no database.
 * @throws Error if DATABASE_URL is not set; the launcher sets it for the server that it starts.
 */
export function sharedPool(): pg.Pool {
  shared.holdfastPool ??= appPool(databaseUrl(), { statementTimeoutMs: 30_000 })
  return shared.holdfastPool
}

/** The pool that looks up people and keys, working as `holdfast_door`, kept in the same way. */
export function sharedDoor(): pg.Pool {
  shared.holdfastDoor ??= doorPool(databaseUrl(), { max: 4 })
  return shared.holdfastDoor
}

function databaseUrl(): string {
  const { databaseUrl: url } = environment()
  if (!url)
    throw new Error('DATABASE_URL is not set. Start Holdfast with npm start, which chooses the database.')
  return url
}
