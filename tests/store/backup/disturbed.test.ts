import { existsSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest'
import { withOwnerConnection } from '@/lib/store/backup/ownerConnection'
import { withSnapshot } from '@/lib/store/backup/snapshot'
import { migrate } from '@/lib/store/migrate/migrate'
import { makeEmptyTestDatabase, makeTestDatabase, type TestDatabase } from '../../setup/database'
import { endRunningCommands, launchCommand } from '../../setup/launcher'
import { backUp, MADE_AT, makeFolder, restore, sumUp } from './backupCase'

let folder: string
let source: TestDatabase

beforeAll(() => {
  folder = makeFolder()
})
beforeEach(async () => {
  source = await makeTestDatabase()
})
afterAll(endRunningCommands)

/** Rows of 640 characters, several of the pieces that a table is copied in. */
const fill = (count: number) =>
  source.owner.query(
    `insert into audit_entry (who, who_name, what) select 'command', repeat(md5(n::text), 20), 'x'
     from generate_series(1, $1::int) as n`,
    [count],
  )

test('a backup while others write is of one instant', async () => {
  await fill(20_000)
  let isOver = false
  let written = 0
  const write = async () => {
    for (; !isOver; written++)
      await source.owner.query(
        `with one as (insert into audit_entry (who, who_name, what) values ('command', 'w', 'pair'))
         insert into snooze (subject, plant, laboratory, until_at, reason, made_by, made_at)
         values ('pair', 'P', 'L', now(), 'r', 'm', now())`,
      )
  }
  const writers = [write(), write(), write()]
  while (written < 20) await new Promise((resolve) => setTimeout(resolve, 1))
  const before = written
  const file = join(folder, 'while writing')
  await backUp(source.url, file)
  expect(written).toBeGreaterThan(before)
  isOver = true
  await Promise.all(writers)
  const target = await makeEmptyTestDatabase()
  await restore(target.url, file)
  const { rows } = await target.owner.query<{ audits: number; snoozes: number }>(
    `select (select count(*)::int from audit_entry where what = 'pair') as audits,
       (select count(*)::int from snooze) as snoozes`,
  )
  expect(rows[0]?.audits).toBe(rows[0]?.snoozes)
  expect(rows[0]?.audits).toBeGreaterThanOrEqual(before)
})

test('nobody changes a table while it is backed up, so that none looks empty', async () => {
  await withSnapshot(source.url, MADE_AT, async (parts) => {
    await parts.next()
    await withOwnerConnection(source.url, async (client) => {
      await client.query("set lock_timeout = '50ms'")
      const change = client.query('alter table digest_mail alter tries type bigint')
      await expect(change).rejects.toThrow(/lock timeout/)
    })
    // A start that has nothing to migrate does not wait.
    expect(await migrate({ url: source.url })).toEqual([])
  })
})

test('a backup whose connection is cut fails and leaves no file', async () => {
  await fill(50_000)
  const file = join(folder, 'cut off')
  const made = backUp(source.url, file).catch((error: Error) => error)
  for (let cut = 0; cut === 0; ) {
    const { rowCount } = await source.owner.query(
      `select pg_terminate_backend(pid) from pg_stat_activity
       where datname = current_database() and query ilike 'copy%audit_entry%'`,
    )
    cut = rowCount ?? 0
  }
  expect(await made).toBeInstanceOf(Error)
  expect(readdirSync(folder).filter((name) => name.startsWith('cut off'))).toEqual([])
})

test('a restore that is killed leaves an empty database, into which it goes the second time', async () => {
  await fill(50_000)
  const file = join(folder, 'restored by halves')
  await backUp(source.url, file)
  const target = await makeEmptyTestDatabase()
  const count = () =>
    withOwnerConnection(target.url, async (client) => {
      const { rowCount } = await client.query(
        `select from pg_class where relnamespace = 'public'::regnamespace`,
      )
      return rowCount
    })
  for (const sign of [/Restoring audit_entry\./, /Reading them back/]) {
    const command = launchCommand('restore', [file], { DATABASE_URL: target.url })
    await command.waitFor(sign)
    command.child.kill('SIGKILL')
    expect(await command.ended).toBe('SIGKILL')
    expect(await count()).toBe(0)
  }
  await restore(target.url, file)
  expect(await sumUp(target.url)).toEqual(await sumUp(source.url))
  expect(existsSync(file)).toBe(true)
})
