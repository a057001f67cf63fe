import { randomBytes } from 'node:crypto'
import type pg from 'pg'
import { afterAll, inject } from 'vitest'
import { copyDatabase, databaseName, dropDatabase, ensureDatabase, withDatabase } from '@/lib/store/databases'
import { appPool, doorPool, ownerPool } from '@/lib/store/pool'

/** A database that only this test file uses. */
export interface TestDatabase {
  /** The owner's connection URL. */
  url: string
  name: string
  /** Works as the owner. */
  owner: pg.Pool
  /** Works as `holdfast_app`, as the program does. */
  app: pg.Pool
  /** Works as `holdfast_door`, as what looks up people and keys does. */
  door: pg.Pool
}

/**
 * Makes a migrated, empty database for the calling test file, and drops it after the file's last test. Call it at the top of the
 * file or in `beforeAll`.
 */
export async function freshDatabase(): Promise<TestDatabase> {
  const templateUrl = inject('templateUrl')
  const url = newUrl(templateUrl)
  await copyDatabase(url, databaseName(templateUrl))
  return open(url)
}

/** The same without migrations: an empty database. */
export async function emptyDatabase(): Promise<TestDatabase> {
  const url = newUrl(inject('templateUrl'))
  await ensureDatabase(url)
  return open(url)
}

function newUrl(templateUrl: string): string {
  return withDatabase(templateUrl, `test_${randomBytes(6).toString('hex')}`)
}

function open(url: string): TestDatabase {
  const owner = ownerPool(url, { max: 4 })
  const app = appPool(url)
  const door = doorPool(url, { max: 4 })
  afterAll(async () => {
    await Promise.all([owner.end(), app.end(), door.end()])
    await dropDatabase(url, true)
  })
  return { url, name: databaseName(url), owner, app, door }
}
