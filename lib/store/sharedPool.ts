import type pg from 'pg'
import { environment } from './environment'
import { appPool } from './pool'

const shared = globalThis as typeof globalThis & { holdfastPool?: pg.Pool }

/**
 * The one pool of this process, working as `holdfast_app` on DATABASE_URL. It is kept on `globalThis`, because Next loads a module
 * more than once in one process. Nothing connects before the first query, so building needs no database.
 * @throws Error if DATABASE_URL is not set; the launcher sets it for the server that it starts.
 */
export function sharedPool(): pg.Pool {
  if (!shared.holdfastPool) {
    const { databaseUrl } = environment()
    if (!databaseUrl)
      throw new Error('DATABASE_URL is not set. Start Holdfast with npm start, which chooses the database.')
    shared.holdfastPool = appPool(databaseUrl)
  }
  return shared.holdfastPool
}
