import { cpSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { migrate } from '@/lib/store/migrate/migrate'
import { readMigrations } from '@/lib/store/migrate/migrationFiles'
import { listKeys } from '@/lib/store/people/keys'
import { makeEmptyTestDatabase, type TestDatabase } from '@/tests/setup/database'

const folder = mkdtempSync(join(tmpdir(), 'holdfast-migrations-'))
afterAll(() => rmSync(folder, { recursive: true }))

/** Keys from before keys had sides: their kinds, plants and laboratories; what else is set. */
const OLD_KEYS: Record<string, string> = {
  everything: 'null, null, null, null, null',
  plant: "null, '{PL1}', null, null, null",
  laboratory: "null, null, '{LAB}', null, '2999-01-01'",
  both: "null, '{PL1}', '{LAB}', null, null",
  named: "'{received,extended}', '{PL1}', null, null, null",
  carrier: "'{delivered,scanned}', null, null, null, null",
  nowhere: "null, '{}', null, null, null",
  revoked: "null, '{PL1}', null, now(), null",
  expired: "null, '{PL1}', null, null, '2020-01-01'",
}

let database: TestDatabase
beforeAll(async () => {
  const names = readMigrations('prisma/migrations').map(({ name }) => name)
  for (const name of names.filter((one) => one < '0027')) {
    mkdirSync(join(folder, name))
    cpSync(join('prisma/migrations', name), join(folder, name), { recursive: true })
  }
  database = await makeEmptyTestDatabase()
  await migrate({ url: database.url, folder })
  for (const [id, rights] of Object.entries(OLD_KEYS))
    await database.owner.query(
      `insert into api_key (id, name, hash, sources, created_by, kinds, plants, laboratories, revoked_at, expires_at)
       values ('${id}', '${id}', '${id}', '{dock}', 'command', ${rights})`,
    )
  await migrate({ url: database.url })
})

const NARROWED = ['both', 'everything', 'laboratory', 'plant']

test('keys that could report more before they had sides are noted', async () => {
  const keys = await listKeys(database.authPool)
  expect(
    keys
      .filter(({ narrowedAt }) => narrowedAt !== null)
      .map(({ id }) => id)
      .sort(),
  ).toEqual(NARROWED)
  expect(keys.map(({ id, sides }) => [id, sides.join()]).sort()).toEqual([
    ['both', 'plant,laboratory'],
    ['carrier', 'carrier'],
    ['everything', 'programme'],
    ['expired', 'plant'],
    ['laboratory', 'laboratory'],
    ['named', 'plant'],
    ['nowhere', 'plant'],
    ['plant', 'plant'],
    ['revoked', 'plant'],
  ])
})

test('the audit log has a line for each', async () => {
  const { rows } = await database.owner.query(
    "select who, subject, after -> 'sides' as sides from audit_entry where what = 'narrowed a key' order by subject",
  )
  expect(rows.map(({ who, subject }) => [who, subject])).toEqual(NARROWED.map((id) => ['command', id]))
  expect(rows[0]?.sides).toEqual(['plant', 'laboratory'])
})
