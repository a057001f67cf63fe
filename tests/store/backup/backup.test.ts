import { readFileSync, statSync, truncateSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { gunzipSync } from 'node:zlib'
import { beforeAll, describe, expect, test } from 'vitest'
import { readBackupFile } from '@/lib/store/backup/backupFile'
import {
  readBackupStatus,
  readSchedule,
  recordGoodBackup,
  recordSchedule,
} from '@/lib/store/backup/backupStatus'
import { checkParts, readToEnd } from '@/lib/store/backup/checkParts'
import { makeBackupKey, readIdentity } from '@/lib/store/backup/encryption'
import { withOwnerConnection } from '@/lib/store/backup/ownerConnection'
import { readSignInMailFailedAt, recordSignInMail } from '@/lib/store/mail/signInMailFault'
import { fillTwoMakers } from '../../access/twoMakers'
import { makeEmptyTestDatabase, makeTestDatabase, type TestDatabase } from '../../setup/database'
import { backUp, MADE_AT, makeFolder, restore, sumUp } from './backupCase'

let folder: string
let source: TestDatabase
let file: string
const name = (one: string) => join(folder, one)
const check = async (path: string, identity?: string) =>
  readToEnd(await checkParts(readBackupFile(path, identity)))

beforeAll(async () => {
  folder = makeFolder()
  source = await makeTestDatabase()
  await fillTwoMakers(source)
  file = name('whole')
  await backUp(source.url, file)
})

test('every table has rows in this test, and comes back as it was', async () => {
  const before = await sumUp(source.url)
  expect(before.filter(({ rows }) => rows === 0)).toEqual([])
  expect(before.length).toBeGreaterThan(25)
  const target = await makeEmptyTestDatabase()
  const { tables, rows, migrated } = await restore(target.url, file)
  expect(await sumUp(target.url)).toEqual(before)
  expect({ tables, rows, migrated }).toEqual({
    tables: before.length,
    rows: before.reduce((sum, table) => sum + table.rows, 0),
    migrated: [],
  })
})

test('what the machine of the backup did is not said of the machine of the restore', async () => {
  const busy = await makeEmptyTestDatabase()
  await restore(busy.url, file)
  await recordSchedule(busy.app, MADE_AT)
  await recordGoodBackup(busy.app, { at: MADE_AT, file: '/old/machine/one.backup', bytes: 5 }, true)
  await recordSignInMail(busy.app, MADE_AT)
  await backUp(busy.url, name('busy'))
  const target = await makeEmptyTestDatabase()
  await restore(target.url, name('busy'))
  const nothing = { lastGoodAt: null, file: null, bytes: null, lastFault: null, scheduledSince: null }
  expect(await readBackupStatus(target.app)).toEqual(nothing)
  expect(await readSchedule(target.app)).toEqual({ scheduledAt: null, faultAt: null, scheduledSince: null })
  expect(await readSignInMailFailedAt(target.app)).toBeNull()
  expect(await sumUp(target.url)).toEqual(await sumUp(source.url))
})

test('the file is a gzipped tar that only its owner may read, with counts and sums at its end', async () => {
  expect(statSync(file).mode & 0o777).toBe(0o600)
  const tar = gunzipSync(readFileSync(file)).toString('latin1')
  expect(tar.slice(0, 13)).toBe('manifest.json')
  expect(tar).toContain('event/00001.copy')
  const { tables } = await check(file)
  const { rows } = await source.owner.query<{ count: string }>('select count(*) from event')
  expect(tables.find((table) => table.name === 'event')?.rows).toBe(Number(rows[0]?.count))
  await expect(backUp(source.url, file)).rejects.toThrow(/exists already\. Choose another name/)
})

describe('with a public key', () => {
  test('it is encrypted, and only the secret key restores it', async () => {
    const publicKey = await makeBackupKey(name('key'))
    await makeBackupKey(name('another key'))
    await backUp(source.url, name('sealed'), publicKey)
    expect(readFileSync(name('sealed'), 'latin1')).toMatch(/^age-encryption\.org\/v1\n/)
    expect((await check(name('sealed'), readIdentity(name('key')))).tables).toEqual(
      (await check(file)).tables,
    )
    // Nobody has entered anything, and a start has noted what it did.
    const target = await makeTestDatabase()
    await withOwnerConnection(target.url, (client) =>
      client.query(`insert into app_metadata values ('zone data', '"none"');
        insert into at_once_look (looked_at, event_seq) values (now(), 0)`),
    )
    await expect(restore(target.url, name('sealed'))).rejects.toThrow(/is encrypted\. Name the file/)
    await expect(restore(target.url, name('sealed'), readIdentity(name('another key')))).rejects.toThrow(
      /The secret key does not fit/,
    )
    await restore(target.url, name('sealed'), readIdentity(name('key')))
    expect(await sumUp(target.url)).toEqual(await sumUp(source.url))
  })
})

describe('a file that is not whole', () => {
  test('is refused wherever it is cut', async () => {
    const { size } = statSync(file)
    for (const keep of [0, 1, 30, 1000, size >> 1, size - 9, size - 1]) {
      writeFileSync(name('cut'), readFileSync(file))
      truncateSync(name('cut'), keep)
      await expect(check(name('cut')), `${keep} bytes`).rejects.toThrow(
        /is damaged or cut off|is too short|is not a backup of Holdfast/,
      )
    }
  })

  test('is refused with a flipped byte, wherever it is, or is read as it was', async () => {
    const wanted = await check(file)
    const bytes = readFileSync(file)
    let refused = 0
    const step = Math.ceil(bytes.length / 150)
    for (let at = 0; at < bytes.length; at += step) {
      const flipped = Buffer.from(bytes)
      flipped[at] = (flipped[at] ?? 0) ^ 0x10
      writeFileSync(name('flipped'), flipped)
      const found = await check(name('flipped')).catch((error: Error) => error)
      if (found instanceof Error) {
        expect(found.name, `byte ${at}: ${found.stack}`).toBe('BackupError')
        refused++
      } else expect(found).toEqual(wanted)
    }
    expect(refused).toBeGreaterThan(100)
  })

  test('leaves the database as it was', async () => {
    const target = await makeEmptyTestDatabase()
    writeFileSync(name('half'), readFileSync(file).subarray(0, -600))
    await expect(restore(target.url, name('half'))).rejects.toThrow(/damaged or cut off/)
    const { rows } = await target.owner.query(
      `select relname from pg_class where relnamespace = 'public'::regnamespace`,
    )
    expect(rows).toEqual([])
  })

  test('is not taken for a backup if it is something else', async () => {
    writeFileSync(name('text'), 'a text that is long enough to have a head')
    await expect(check(name('text'))).rejects.toThrow(/text is not a backup of Holdfast\./)
    await expect(check(name('nothing'))).rejects.toThrow(/nothing cannot be read: ENOENT/)
  })
})

test('a database that is not empty is refused and not changed', async () => {
  const before = await sumUp(source.url)
  await source.app.query('select 1')
  await expect(restore(source.url, file)).rejects.toThrow(/has \d+ other connections\. Stop the Holdfast/)
  const target = await makeTestDatabase()
  await withOwnerConnection(target.url, (client) =>
    client.query(`insert into person (id, email, name) values ('p', 'p@plant.example', 'P')`),
  )
  await expect(restore(target.url, file)).rejects.toThrow(/is not empty: its table person has rows/)
  expect(await sumUp(source.url)).toEqual(before)
  expect((await sumUp(target.url)).find((table) => table.name === 'person')?.rows).toBe(1)
})
