import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, beforeEach, expect, test } from 'vitest'
import { readBackupStatus } from '@/lib/store/backup/backupStatus'
import { withOwnerConnection } from '@/lib/store/backup/ownerConnection'
import { KEPT_BACKUPS, makeDueBackup } from '@/lib/store/backup/scheduledBackup'
import { ensureDatabase } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { openAppPool } from '@/lib/store/scope/pool'
import { fillTwoMakers } from '../../access/twoMakers'
import { makeEmptyTestDatabase, makeTestDatabase, type TestDatabase } from '../../setup/database'
import { noSystemPostgres, type SystemPostgres, startSystemPostgres } from '../../setup/systemPostgres'
import { backUp, MADE_AT, makeFolder, restore, sumUp } from './backupCase'

let server: SystemPostgres
let source: TestDatabase
let folder: string

beforeEach(({ skip }) => skip(noSystemPostgres !== null, noSystemPostgres ?? ''))

beforeAll(async () => {
  if (noSystemPostgres) return
  server = await startSystemPostgres()
  await asSuperuser('create role maker login createrole createdb; create role plain login')
  folder = makeFolder()
  source = await makeTestDatabase()
  await fillTwoMakers(source)
})

const asSuperuser = (sql: string) =>
  withOwnerConnection(server.url('postgres'), (client) => client.query(sql))

const readForced = (url: string) =>
  withOwnerConnection(url, async (client) => {
    const { rows } = await client.query(
      `select relname from pg_class where relforcerowsecurity and relnamespace = 'public'::regnamespace order by 1`,
    )
    return rows
  })

// In this order: the second finds no roles and makes them, the last may make none.
test.each([
  ['a user who may make roles and databases', 'maker'],
  ['a superuser', 'postgres'],
  ['a plain owner', 'plain'],
])('the embedded engine to PostgreSQL 15 and back, bit for bit: as %s', async (_, user) => {
  const name = `programme_${user}`
  const url = server.url(name, user)
  if (user === 'plain') {
    await asSuperuser(`create database ${name} owner plain`)
    await withOwnerConnection(server.url(name), (client) => client.query('select 1'))
    await backUp(source.url, join(folder, 'for nobody'))
    await expect(restore(url, join(folder, 'for nobody'))).rejects.toThrow(
      /Ask the server’s administrator to run: GRANT holdfast_app TO "plain";/,
    )
    await asSuperuser('grant holdfast_app, holdfast_door to plain')
  }
  const before = await sumUp(source.url)
  expect(before.filter(({ rows }) => rows === 0)).toEqual([])
  await backUp(source.url, join(folder, `${user} there`))
  await restore(url, join(folder, `${user} there`))
  expect(await sumUp(url)).toEqual(before)
  // Read by a superuser, whom no policy hides a row from.
  expect(await sumUp(server.url(name))).toEqual(before)
  expect(await readForced(url)).toEqual(await readForced(source.url))
  const app = openAppPool(url, { max: 1 })
  expect((await app.query('select from event')).rowCount).toBe(0)
  await app.end()

  await backUp(url, join(folder, `${user} back`))
  const back = await makeEmptyTestDatabase()
  await restore(back.url, join(folder, `${user} back`))
  expect(await sumUp(back.url)).toEqual(before)
  const sequences = `select sequencename, last_value from pg_sequences where schemaname = 'public' order by 1`
  expect((await back.owner.query(sequences)).rows).toEqual((await source.owner.query(sequences)).rows)
})

test('a database that cannot hold every name is refused', async () => {
  await asSuperuser(`create database latin encoding 'LATIN1' template template0 lc_collate 'C' lc_ctype 'C'`)
  await backUp(source.url, join(folder, 'for latin'))
  await expect(restore(server.url('latin'), join(folder, 'for latin'))).rejects.toThrow(
    /has the encoding LATIN1, which cannot hold every name\. Make it anew: CREATE DATABASE "latin"/,
  )
})

test('two servers whose databases have one name remove none of each other’s backups from a folder', async () => {
  const dir = join(folder, 'both')
  const other = server.url(source.name, 'maker')
  await ensureDatabase(other)
  await migrate({ url: other })
  await makeDueBackup({ url: source.url, dir }, MADE_AT)
  const [first] = readdirSync(dir)
  const days = KEPT_BACKUPS + 1
  for (let day = 1; day <= days; day++) await makeDueBackup({ url: other, dir }, MADE_AT + day * 86_400_000)
  expect(readdirSync(dir)).toContain(first)
  expect(readdirSync(dir)).toHaveLength(KEPT_BACKUPS + 1)
  const pool = openAppPool(other, { max: 1 })
  const lastGoodAt = MADE_AT + days * 86_400_000
  expect(await readBackupStatus(pool)).toMatchObject({ lastGoodAt, lastFault: null })
  await pool.end()
})
