import type pg from 'pg'
import { getEnvironment } from '../environment'
import { openAppPool, openAuthPool } from './pool'

const shared = globalThis as typeof globalThis & { holdfastPool?: pg.Pool; holdfastDoor?: pg.Pool }

/**
 * The pool of this process as `holdfast_app`, on DATABASE_URL. Kept on `globalThis`, because Next may load a module
 * more than once in one process. Connects on the first query, so building needs no database.
 * @throws Error if DATABASE_URL is not set; the launcher sets it for the server it starts.
 */
export function getAppPool(): pg.Pool {
  shared.holdfastPool ??= openAppPool(getDatabaseUrl(), { statementTimeoutMs: 30_000 })
  return shared.holdfastPool
}

/** The pool of this process as `holdfast_door`, cached in the same way. */
export function getAuthPool(): pg.Pool {
  shared.holdfastDoor ??= openAuthPool(getDatabaseUrl(), { max: 4 })
  return shared.holdfastDoor
}

function getDatabaseUrl(): string {
  const { databaseUrl: url } = getEnvironment()
  if (!url)
    throw new Error('DATABASE_URL is not set. Start Holdfast with npm start, which chooses the database.')
  return url
}
