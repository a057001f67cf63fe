import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { command, listDeclaredStatements, statement } from '@/lib/store/scope/statement'
import { makeTestDatabase, type TestDatabase } from '../../setup/database'

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})

const row = z.object({ n: z.number() })

test('every statement of the store can be prepared on the migrated schema', async () => {
  const modules = import.meta.glob(['../../../lib/store/**/*.ts', '!../../../lib/store/prisma/**'])
  await Promise.all(Object.values(modules).map((load) => load()))
  const client = await database.owner.connect()
  const faults: string[] = []
  let prepared = 0
  for (const text of new Set(listDeclaredStatements().map(({ text }) => text))) {
    await client.query(`prepare tried as ${text}`).then(
      () => client.query('deallocate tried'),
      (error: Error) => faults.push(`${error.message}: ${text}`),
    )
    prepared++
  }
  client.release()
  expect(faults).toEqual([])
  expect(prepared).toBeGreaterThan(100)
})

test('a row that does not match its schema fails a test', async () => {
  const db = database.app
  const asText = statement(row, "select 'one' as n")
  const more = statement(row, 'select 1 as n, 2 as more')
  const none = statement(row, 'select 1 as n where false')
  await expect(asText.all(db)).rejects.toThrow('expected number, received string')
  await expect(more.all(db)).rejects.toThrow('Unrecognized key: "more"')
  await expect(none.one(db)).rejects.toThrow('returned none: select 1 as n where false')
  expect(await none.first(db)).toBeUndefined()
})

test('values are bound, and the test above knows every declared statement', async () => {
  const least = statement(row, 'select n from unnest($1::int[]) as n order by n limit 1')
  const most = statement(row, 'select n from unnest($1::int[]) as n order by n desc limit 1')
  expect(await least.one(database.app, [[3, 1, 2]])).toEqual({ n: 1 })
  expect(await most.one(database.app, [[3, 1, 2]])).toEqual({ n: 3 })
  const declared = listDeclaredStatements().slice(-2)
  expect(declared.map(({ text }) => text.includes('desc'))).toEqual([false, true])
  expect(await command('select from generate_series(1, $1::int)').run(database.app, [4])).toBe(4)
})
