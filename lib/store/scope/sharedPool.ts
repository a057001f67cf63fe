import type pg from 'pg'
import { getEnvironment } from '../environment'
import { openAppPool, openAuthPool, type PoolOptions } from './pool'
import { command } from './statement'
import { giveWriters } from './writers'

const shared = globalThis as typeof globalThis & {
  holdfastPool?: pg.Pool
  holdfastDoor?: pg.Pool
  holdfastProbe?: pg.Pool
}

/** A process that hangs longer than this loses its transactions. Computing between two statements takes seconds at most. */
const HANGING = { idleInTransactionTimeoutMs: 60_000 }

/**
 * Only a table that someone has locked as a whole makes a reader wait. Such locks last long or are gone at once, and a
 * reader that waits keeps a connection from the others.
 */
const READERS: PoolOptions = {
  ...HANGING,
  max: 10,
  statementTimeoutMs: 30_000,
  answerTimeoutMs: 32_000,
  lockTimeoutMs: 1_000,
}

/**
 * One connection is for the writer of the ledgers, who sets its own limits; the others are for drafts, the office
 * calendar and what is set aside.
 */
const WRITERS: PoolOptions = { ...HANGING, max: 4, statementTimeoutMs: 30_000, lockTimeoutMs: 5_000 }

/**
 * What is read of people is small, and everyone needs it. A change of people may wait for one on another server; a list
 * of thousands takes some seconds. Each request begins here, so that all are answered soon if the database hangs.
 */
const DOOR_READERS: PoolOptions = { ...READERS, max: 4, statementTimeoutMs: 10_000, answerTimeoutMs: 11_000 }
const DOOR_WRITERS: PoolOptions = { ...WRITERS, lockTimeoutMs: 10_000 }

/**
 * The pool of this process as `holdfast_app`, on DATABASE_URL; what writes on its behalf has connections of its own. Kept
 * on `globalThis`, because Next may load a module more than once in one process. Connects on the first query, so building
 * needs no database.
 * @throws Error if DATABASE_URL is not set; the launcher sets it for the server it starts.
 */
export function getAppPool(): pg.Pool {
  shared.holdfastPool ??= giveWriters(
    openAppPool(getDatabaseUrl(), READERS),
    openAppPool(getDatabaseUrl(), WRITERS),
  )
  return shared.holdfastPool
}

/** The pool of this process as `holdfast_door`, cached in the same way. */
export function getAuthPool(): pg.Pool {
  shared.holdfastDoor ??= giveWriters(
    openAuthPool(getDatabaseUrl(), DOOR_READERS),
    openAuthPool(getDatabaseUrl(), DOOR_WRITERS),
  )
  return shared.holdfastDoor
}

/** One connection for asking whether the database serves: it waits for nobody, and for nothing long. */
const PROBE: PoolOptions = {
  max: 1,
  statementTimeoutMs: 3_000,
  lockTimeoutMs: 1_000,
  connectTimeoutMs: 3_000,
  answerTimeoutMs: 3_500,
}

/** The pool with which this process finds out whether the database serves, as `holdfast_door`, cached in the same way. */
export function getProbePool(): pg.Pool {
  shared.holdfastProbe ??= openAuthPool(getDatabaseUrl(), PROBE)
  return shared.holdfastProbe
}

const ASK = command('select 1')

/** Asks the database for an answer that costs nothing. @throws Error if there is none within some seconds. */
export async function askDatabase(): Promise<void> {
  await ASK.run(getProbePool())
}

function getDatabaseUrl(): string {
  const { databaseUrl: url } = getEnvironment()
  if (!url)
    throw new Error('DATABASE_URL is not set. Start Holdfast with npm start, which chooses the database.')
  return url
}
