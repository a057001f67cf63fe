import { mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import { beforeEach, expect, test } from 'vitest'
import { readBackupStatus, recordSchedule } from '@/lib/store/backup/backupStatus'
import { makeBackupKey, readIdentity } from '@/lib/store/backup/encryption'
import { runBackups } from '@/lib/store/backup/runBackups'
import { makeDueBackup } from '@/lib/store/backup/scheduledBackup'
import { nameScheduledFile } from '@/lib/store/backup/scheduledFiles'
import { makeEmptyTestDatabase, makeTestDatabase, type TestDatabase } from '../../setup/database'
import { atEndOfFile } from '../../setup/endOfFile'
import { makeFolder, restore, sumUp } from './backupCase'

const HOUR = 3_600_000
const DAY = 24 * HOUR
const NOON = Date.UTC(2026, 10, 2, 12)
let database: TestDatabase
let dir: string
let cluster: string

beforeEach(async () => {
  database = await makeTestDatabase()
  const { rows } = await database.owner.query('select system_identifier::text as id from pg_control_system()')
  cluster = rows[0].id
  dir = join(makeFolder(), 'made', 'backups')
})

const makeDue = (now: number, more = {}) => makeDueBackup({ url: database.url, dir, ...more }, now)
const make = async (now: number, more = {}) => (await makeDue(now, more))?.file ?? null
const nameFile = (at: number, name = database.name) => nameScheduledFile({ database: name, cluster }, at)

test('one backup a day is made, a missed day is made up, and the last is known', async () => {
  const file = await make(NOON)
  expect(file).toBe(join(dir, nameFile(NOON)))
  expect(await make(NOON + 11 * HOUR)).toBeNull()
  const status = await readBackupStatus(database.app)
  const good = { lastGoodAt: NOON, file, bytes: expect.any(Number) }
  expect(status).toEqual({ ...good, lastFault: null, scheduledSince: NOON })
  expect(await make(NOON + 13 * HOUR)).not.toBeNull()
  expect(await make(NOON + 9 * DAY)).not.toBeNull()
  // The clock was ahead, and was set back.
  expect(await make(NOON + 3 * DAY)).not.toBeNull()
  expect((await readBackupStatus(database.app)).lastGoodAt).toBe(NOON + 3 * DAY)
})

test('the newest 14 are kept, and every file that is not one of them', async () => {
  mkdirSync(dir, { recursive: true })
  const mine = nameFile(NOON)
  const foreign = [
    'notes.txt',
    `holdfast-${database.name}.backup`,
    `${mine}.copy`,
    nameFile(NOON, `${database.name}-2`),
    nameFile(NOON, database.name.slice(0, -1)),
    nameScheduledFile({ database: database.name, cluster: '1' }, NOON),
  ]
  for (const name of [...foreign, `${mine}.unfinished-17`]) writeFileSync(join(dir, name), '')
  for (let day = 0; day < 16; day++) await make(NOON + day * DAY)
  const kept = Array.from({ length: 14 }, (_, day) => nameFile(NOON + (day + 2) * DAY))
  expect(readdirSync(dir).sort()).toEqual([...foreign, ...kept].sort())
})

test('a backup is good although an old one cannot be removed, which is told apart and keeps no other', async () => {
  const [stuck, ...old] = Array.from({ length: 16 }, (_, day) => nameFile(NOON - (day + 1) * DAY)).reverse()
  // A folder is not removed as a file is.
  mkdirSync(join(dir, stuck as string), { recursive: true })
  for (const name of old) writeFileSync(join(dir, name), '')
  const file = nameFile(NOON)
  expect(await makeDue(NOON)).toEqual({
    file: join(dir, file),
    removalFault: expect.stringContaining(stuck as string),
  })
  expect(readdirSync(dir).sort()).toEqual([stuck, ...old.slice(2), file])
  expect(await readBackupStatus(database.app)).toMatchObject({ lastGoodAt: NOON, lastFault: null })
})

test('a failure is recorded, removes nothing, and is tried again after half an hour', async () => {
  mkdirSync(join(dir, '..'), { recursive: true })
  await make(NOON)
  const [file] = readdirSync(dir)
  const blocked = join(dir, file as string)
  await expect(make(NOON + DAY, { dir: blocked })).rejects.toThrow(/EEXIST|ENOTDIR/)
  const { lastGoodAt, lastFault } = await readBackupStatus(database.app)
  expect({ lastGoodAt, at: lastFault?.at }).toEqual({ lastGoodAt: NOON, at: NOON + DAY })
  expect(lastFault?.reason).toMatch(/EEXIST|ENOTDIR/)
  expect(readdirSync(dir)).toEqual([file])
  expect(await make(NOON + DAY + 29 * 60_000)).toBeNull()
  expect(await make(NOON + DAY + 30 * 60_000)).not.toBeNull()
  expect((await readBackupStatus(database.app)).lastFault).toBeNull()
})

test('two servers make one backup between them', async () => {
  const dirs = ['one', 'two', 'three', 'four'].map((name) => join(dir, name))
  for (let day = 0; day < 4; day++)
    await Promise.all(dirs.map((one) => makeDueBackup({ url: database.url, dir: one }, NOON + day * DAY)))
  const made = dirs.flatMap((one) => {
    try {
      return readdirSync(one)
    } catch {
      return []
    }
  })
  const wanted = [0, 1, 2, 3].map((day) => nameFile(NOON + day * DAY))
  expect(made.sort()).toEqual(wanted)
})

test('it is encrypted to the public key and restores', async () => {
  const key = join(makeFolder(), 'key')
  // A restore leaves out what is known of backups.
  await database.owner.query("delete from app_metadata where name = 'backup'")
  const before = await sumUp(database.url)
  await recordSchedule(database.owner, NOON)
  const file = (await make(NOON, { publicKey: await makeBackupKey(key) })) as string
  const target = await makeEmptyTestDatabase()
  await restore(target.url, file, readIdentity(key))
  expect(await sumUp(target.url)).toEqual(before)
})

test('what runs makes a missed one at once, or tells why it failed', async () => {
  const tellFirst = (folder: string) =>
    new Promise<string>((resolve) => {
      const reports = { onDone: resolve, onFault: resolve, onRemovalFault: resolve }
      const stop = runBackups({ url: database.url, dir: folder }, reports)
      atEndOfFile(stop)
    })
  mkdirSync(join(dir, '..'), { recursive: true })
  writeFileSync(dir, '')
  expect(await tellFirst(dir)).toMatch(/EEXIST|ENOTDIR/)
  rmSync(dir)
  database = await makeTestDatabase()
  const file = await tellFirst(dir)
  expect(readdirSync(dir)).toEqual([basename(file)])
})

test('one that is broken off leaves no file and no failure', async () => {
  await database.owner.query(
    `insert into audit_entry (who, who_name, what) select 'command', repeat(md5(n::text), 20), 'x'
     from generate_series(1, 100000) as n`,
  )
  const stopping = new AbortController()
  const made = make(NOON, { signal: stopping.signal }).catch((error: Error) => error)
  while (readNames(dir).length === 0) await new Promise((resolve) => setTimeout(resolve, 1))
  expect(readNames(dir)).toEqual([expect.stringContaining('.unfinished-')])
  stopping.abort()
  expect(await made).toBeInstanceOf(Error)
  expect(readNames(dir)).toEqual([])
  expect(await readBackupStatus(database.app)).toMatchObject({ lastGoodAt: null, lastFault: null })
  expect(await make(NOON)).not.toBeNull()
})

function readNames(folder: string): string[] {
  try {
    return readdirSync(folder)
  } catch {
    return []
  }
}
