import { join } from 'node:path'
import { beforeAll, beforeEach, expect, test } from 'vitest'
import { type BackupPart, END_NAME, MANIFEST_NAME, type Manifest } from '@/lib/store/backup/backupFormat'
import { checkParts } from '@/lib/store/backup/checkParts'
import { restoreBackup } from '@/lib/store/backup/restoreBackup'
import { withSnapshot } from '@/lib/store/backup/snapshot'
import { enqueueMails } from '@/lib/store/mail/mailJobs'
import { withTransaction } from '@/lib/store/scope/transaction'
import { fillTwoMakers } from '../../access/twoMakers'
import { makeEmptyTestDatabase, makeTestDatabase, type TestDatabase } from '../../setup/database'
import { backUp, MADE_AT, makeFolder, restore } from './backupCase'

let folder: string
let source: TestDatabase
let target: TestDatabase

beforeAll(() => {
  folder = makeFolder()
})
beforeEach(async () => {
  source = await makeTestDatabase()
  await fillTwoMakers(source)
  target = await makeEmptyTestDatabase()
})

/** The parts of a backup of the source. */
async function collect(): Promise<BackupPart[]> {
  return withSnapshot(source.url, MADE_AT, async (parts) => {
    const all: BackupPart[] = []
    for await (const part of parts) all.push(part)
    return all
  })
}

async function* stream(parts: BackupPart[]): AsyncGenerator<BackupPart> {
  yield* parts
}

/** The parts with another manifest. */
function change(parts: BackupPart[], how: (manifest: Manifest) => void): AsyncGenerator<BackupPart> {
  return stream(
    parts.map((part) => {
      if (part.name !== MANIFEST_NAME) return part
      const manifest = JSON.parse(part.body.toString()) as Manifest
      how(manifest)
      return { ...part, body: Buffer.from(JSON.stringify(manifest)) }
    }),
  )
}

test('one of a newer program is refused with what to do', async () => {
  const parts = await collect()
  const newerFormat = change(parts, (manifest) => {
    manifest.holdfastBackup = 2
    manifest.program = '9.1.0'
  })
  await expect(checkParts(newerFormat)).rejects.toThrow(/A newer Holdfast \(9\.1\.0\) made this backup/)
  const newerMigration = change(parts, (manifest) => {
    manifest.migrations.push({ name: '9999_later', checksum: 'x' })
  })
  await expect(restoreBackup({ url: target.url, parts: newerMigration })).rejects.toThrow(
    /it has the migration 9999_later, which this version does not know/,
  )
})

test('parts that are missing, twice, out of order or after the end are found', async () => {
  const parts = await collect()
  const event = parts.findIndex(({ name }) => name === 'event/00001.copy')
  const person = parts.findIndex(({ name }) => name === 'person/00001.copy')
  const pick = (index: number) => parts[index] as BackupPart
  const end = parts.find(({ name }) => name === END_NAME) as BackupPart
  const altered: [string, BackupPart[], RegExp][] = [
    [
      'missing',
      parts.filter(({ name }) => name !== 'api_key/00001.copy'),
      /The table api_key differs .*\(0 rows of 1,/,
    ],
    ['twice', [...parts.slice(0, event), pick(event), ...parts.slice(event)], /is not in its place/],
    [
      'swapped',
      parts.map((part, index) => (index === event ? pick(person) : index === person ? pick(event) : part)),
      /is not in its place|differs/,
    ],
    ['no end', parts.slice(0, -1), /its last part is missing/],
    ['two ends', [...parts, end], /goes on after its end/],
    ['no start', parts.slice(1), /not a backup/],
  ]
  for (const [what, given, words] of altered) {
    const restored = restoreBackup({ url: target.url, parts: stream(given) })
    await expect(restored, what).rejects.toThrow(words)
  }
  const { rowCount } = await target.owner.query(
    `select from pg_class where relnamespace = 'public'::regnamespace`,
  )
  expect(rowCount).toBe(0)
})

test('a table that was added by hand is left out and named, a changed one is refused', async () => {
  await source.owner.query('create table notes (id int primary key); insert into notes values (1)')
  const said: string[] = []
  const parts = stream(await collect())
  await restoreBackup({ url: target.url, parts, log: (sentence) => said.push(sentence) })
  expect(said.join(' ')).toMatch(/Leaving out the table notes: it was added by hand/)
  await source.owner.query('alter table person add shoe_size int')
  const other = await makeEmptyTestDatabase()
  await expect(restoreBackup({ url: other.url, parts: stream(await collect()) })).rejects.toThrow(
    /the table person with the columns .*shoe_size.*: it was changed by hand/,
  )
})

test('a mail that waited gets a job in the new queue', async () => {
  const jobs = async ({ owner }: TestDatabase) =>
    (await owner.query(`select from queue.job where name = 'mail'`)).rowCount
  await withTransaction(source.authPool, (client) => enqueueMails(client, [], Date.now()))
  expect(await jobs(source)).toBe(1)
  const file = join(folder, 'with a mail')
  await backUp(source.url, file)
  await restore(target.url, file)
  expect(await jobs(target)).toBe(0)
  await withTransaction(target.authPool, (client) => enqueueMails(client, [], Date.now()))
  expect(await jobs(target)).toBe(1)
})
