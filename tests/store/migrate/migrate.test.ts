import { cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeEach, describe, expect, test } from 'vitest'
import {
  databaseExists,
  dropDatabase,
  ensureDatabase,
  isProgrammeStarted,
  withDatabase,
} from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { readMigrations } from '@/lib/store/migrate/migrationFiles'
import { openOwnerPool } from '@/lib/store/scope/pool'
import { makeEmptyTestDatabase, type TestDatabase } from '../../setup/database'

const folder = mkdtempSync(join(tmpdir(), 'holdfast-migrations-'))
afterAll(() => rmSync(folder, { recursive: true }))

function write(name: string, sql: string) {
  mkdirSync(join(folder, name), { recursive: true })
  writeFileSync(join(folder, name, 'migration.sql'), sql)
}

let database: TestDatabase
const run = (say?: (sentence: string) => void) => migrate({ url: database.url, folder, log: say })
const recorded = async () => {
  const { rows } = await database.owner.query(
    'select migration_name as name from _prisma_migrations order by started_at',
  )
  return rows.map((row) => row.name)
}

describe('a run of the migrations', () => {
  beforeEach(async () => {
    rmSync(folder, { recursive: true, force: true })
    write('0001_first', 'create table first (n int);\ninsert into first values (1);')
    write('0002_second', 'create table second (n int);')
    database = await makeEmptyTestDatabase()
  })

  test('applies all in order, says each, and the next run does nothing', async () => {
    const said: string[] = []
    expect(await run((sentence) => said.push(sentence))).toEqual(['0001_first', '0002_second'])
    expect(said.filter((sentence) => sentence.startsWith('Applying'))).toEqual([
      'Applying 0001_first.',
      'Applying 0002_second.',
    ])
    expect(await run()).toEqual([])
    expect(await recorded()).toEqual(['0001_first', '0002_second'])
  })

  test('rolls back a failing migration, keeps earlier ones, and continues once it is fixed', async () => {
    write('0002_second', 'create table second (n int);\ninsert into second values (1);\nselect nonsense;')
    await expect(run()).rejects.toThrow(
      /0002_second failed \(line 3\) and was rolled back: column "nonsense" does not exist/,
    )
    expect(await recorded()).toEqual(['0001_first'])
    const { rows } = await database.owner.query(`select to_regclass('second') as made`)
    expect(rows[0].made).toBeNull()
    write('0002_second', 'create table second (n int);')
    expect(await run()).toEqual(['0002_second'])
  })

  test('refuses when one that was applied has been changed, and names it', async () => {
    await run()
    write('0001_first', 'create table first (n bigint);')
    await expect(run()).rejects.toThrow(/0001_first was changed after it had been applied/)
  })

  test('ignores a change of line endings', async () => {
    await run()
    write('0001_first', 'create table first (n int);\r\ninsert into first values (1);')
    expect(await run()).toEqual([])
  })

  test('refuses a database newer than the program', async () => {
    await run()
    rmSync(join(folder, '0002_second'), { recursive: true })
    await expect(run()).rejects.toThrow(/newer than this program: it has the migration 0002_second/)
  })

  test('refuses a database that another tool left half migrated', async () => {
    await run()
    await database.owner.query(
      `update _prisma_migrations set finished_at = null where migration_name = '0002_second'`,
    )
    await expect(run()).rejects.toThrow(/0002_second was left half done by another tool/)
  })

  test('at the same time as three others applies each migration once', async () => {
    write('0002_second', 'create table second (n int); select pg_sleep(0.2);')
    const applied = await Promise.all([run(), run(), run(), run()])
    expect(applied.flat().sort()).toEqual(['0001_first', '0002_second'])
  })
})

test('from every earlier state of the real migrations the rest are applied', async () => {
  const all = readMigrations('prisma/migrations').map(({ name }) => name)
  for (let known = 0; known <= all.length; known++) {
    rmSync(folder, { recursive: true, force: true })
    mkdirSync(folder)
    for (const name of all.slice(0, known))
      cpSync(join('prisma/migrations', name), join(folder, name), { recursive: true })
    database = await makeEmptyTestDatabase()
    expect(await run()).toEqual(all.slice(0, known))
    expect(await migrate({ url: database.url })).toEqual(all.slice(known))
  }
})

test('the mail queue is created once, belongs to the migrating user, and is repaired by the next run', async () => {
  database = await makeEmptyTestDatabase()
  const said: string[] = []
  const run = () => migrate({ url: database.url, log: (sentence) => said.push(sentence) })
  await run()
  await database.owner.query(`update queue.queue set retry_limit = 0; delete from queue.schedule;
    revoke select on queue.job from holdfast_door`)
  await run()
  expect(said.filter((sentence) => /queue/.test(sentence) && !/Applying/.test(sentence))).toEqual([
    'Created the mail queue.',
  ])
  const { rows } = await database.owner.query(
    `select (select retry_limit from queue.queue where name = 'mail') as tries,
       (select cron from queue.schedule where name = 'look') as clock,
       has_table_privilege('holdfast_door', 'queue.job', 'select') as "isReached"`,
  )
  expect(rows).toEqual([{ tries: 8, clock: '* * * * *', isReached: true }])
})

describe('a user with few rights', () => {
  const plainUrl = (name: string, password: string) => {
    const address = new URL(database.url)
    address.username = name
    address.password = password
    return address.href
  }

  test('who owns the database and is in the role already may migrate', async () => {
    database = await makeEmptyTestDatabase()
    for (const role of ['holdfast_app', 'holdfast_door'])
      await database.owner.query(`create role ${role} nologin`).catch(() => {})
    await database.owner.query(`create role plain_owner login password 'plain' noinherit`)
    await database.owner.query(`grant holdfast_app, holdfast_door to plain_owner`)
    await database.owner.query(`alter database ${database.name} owner to plain_owner`)
    const url = plainUrl('plain_owner', 'plain')
    expect((await migrate({ url })).length).toBeGreaterThan(0)
    const pool = openOwnerPool(url)
    const { rows } = await pool.query(
      `select bool_and(tableowner = 'plain_owner') as all from pg_tables where schemaname = 'public'`,
    )
    await pool.end()
    expect(rows[0].all).toBe(true)
    await database.owner.query(`reassign owned by plain_owner to current_user`)
    await database.owner.query(`drop role plain_owner`)
  })

  test('who is not in the role learns what an administrator has to run', async () => {
    database = await makeEmptyTestDatabase()
    await database.owner.query(`create role holdfast_app nologin`).catch(() => {})
    await database.owner.query(`create role stranger login password 'plain'`)
    const url = plainUrl('stranger', 'plain')
    await expect(migrate({ url })).rejects.toThrow(/GRANT holdfast_app TO "stranger";/)
    await expect(ensureDatabase(withDatabase(url, 'not_there_yet'))).rejects.toThrow(
      /CREATE DATABASE "not_there_yet" OWNER "stranger";/,
    )
    await database.owner.query(`drop role stranger`)
  })
})

test('a database in use is not dropped, and the error says why', async () => {
  database = await makeEmptyTestDatabase()
  await database.owner.query('select 1')
  await expect(dropDatabase(database.url)).rejects.toThrow(/is in use/)
  expect(await databaseExists(database.url, database.name)).toBe(true)
})

test('a programme is started by an entry of its register, or by a person who may sign in', async () => {
  database = await makeEmptyTestDatabase()
  expect(await isProgrammeStarted(database.url)).toBe(false)
  await migrate({ url: database.url })
  expect(await isProgrammeStarted(database.url)).toBe(false)
  await database.owner.query("insert into person (id, email, name) values ('p', 'p@plant.example', 'P')")
  expect(await isProgrammeStarted(database.url)).toBe(true)
  await database.owner.query(`delete from person;
    insert into register_entry (kind, code, holds_from_at) values ('plant', 'P1', now())`)
  expect(await isProgrammeStarted(database.url)).toBe(true)
})
