import { randomBytes } from 'node:crypto'
import type pg from 'pg'
import { inject } from 'vitest'
import {
  copyDatabase,
  dropDatabase,
  ensureDatabase,
  getDatabaseName,
  withDatabase,
} from '@/lib/store/migrate/databases'
import { openAppPool, openAuthPool, openOwnerPool } from '@/lib/store/scope/pool'
import { atEndOfFile } from './endOfFile'

export interface TestDatabase {
  /** The owner's connection URL. */
  url: string
  name: string
  /** Works as the owner. */
  owner: pg.Pool
  /** Works as `holdfast_app`, as the program does. */
  app: pg.Pool
  /** Works as `holdfast_door`, as sign-in does. */
  authPool: pg.Pool
}

/**
 * Makes a migrated, empty database for the calling test file, and drops it after the file's last test. Call it at the
 * top of the file or in `beforeAll`.
 */
export async function makeTestDatabase(): Promise<TestDatabase> {
  return dropAtEndOfFile(await copyTemplate(inject('templateUrl')))
}

/** The same without migrations. */
export async function makeEmptyTestDatabase(): Promise<TestDatabase> {
  const url = makeUrl(inject('templateUrl'))
  await ensureDatabase(url)
  return dropAtEndOfFile(url)
}

/** Makes a migrated, empty database. @returns its owner's URL. */
export async function copyTemplate(templateUrl: string): Promise<string> {
  const url = makeUrl(templateUrl)
  await copyDatabase(url, getDatabaseName(templateUrl))
  return url
}

/** Connects to a database; the caller closes it. */
export function connect(url: string): TestDatabase & { close(): Promise<void> } {
  const owner = openOwnerPool(url, { max: 4 })
  const app = openAppPool(url)
  const authPool = openAuthPool(url, { max: 4 })
  return {
    url,
    name: getDatabaseName(url),
    owner,
    app,
    authPool,
    close: async () => {
      await Promise.all([owner.end(), app.end(), authPool.end()])
    },
  }
}

/**
 * Starts `works` while another session holds the rows that `locking` selects, so that all of them wait for these rows
 * at the same time.
 */
export async function runBlocked<T>(
  owner: pg.Pool,
  locking: string,
  values: unknown[],
  works: (() => Promise<T>)[],
): Promise<T[]> {
  const holder = await owner.connect()
  try {
    await holder.query('begin')
    await holder.query(`${locking} for update`, values)
    const all = Promise.all(works.map((work) => work()))
    await new Promise((resolve) => setTimeout(resolve, 300))
    await holder.query('commit')
    return await all
  } finally {
    holder.release()
  }
}

function makeUrl(templateUrl: string): string {
  return withDatabase(templateUrl, `test_${randomBytes(6).toString('hex')}`)
}

function dropAtEndOfFile(url: string): TestDatabase {
  const database = connect(url)
  atEndOfFile(async () => {
    await database.close()
    await dropDatabase(url, true)
  })
  return database
}
