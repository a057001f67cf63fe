import { beforeEach, expect, test } from 'vitest'
import { type GuessLimit, makeGuessLimit } from '@/lib/access/session/guessLimit'
import { openAuthPool } from '@/lib/store/scope/pool'
import { findDatabaseFault } from '@/lib/store/scope/unavailable'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'

let database: TestDatabase
/** Those of two servers of one database. */
let here: GuessLimit
let there: GuessLimit
beforeEach(async () => {
  database = await makeTestDatabase()
  here = makeGuessLimit(database.authPool, 3)
  there = makeGuessLimit(database.authPool, 3)
})

const readCounts = async () =>
  (await database.owner.query('select key, points from guess_count order by key')).rows

test('wrong secrets of a client are counted over all servers, and only of that client', async () => {
  expect([await here.count('a'), await there.count('a'), await here.count('a')]).toEqual([0, 0, 0])
  for (const limit of [there, here]) {
    const waitSeconds = await limit.count('a')
    expect(waitSeconds).toBeGreaterThan(0)
    expect(waitSeconds).toBeLessThanOrEqual(60)
  }
  expect(await there.count('b')).toBe(0)
})

test('many at once on two servers are counted each', async () => {
  const waits = await Promise.all(Array.from({ length: 20 }, (_, n) => (n % 2 ? here : there).count('a')))
  expect(waits.filter((waitSeconds) => waitSeconds === 0)).toHaveLength(3)
})

test('those that name an id are counted for it from all clients, and other ids are not held up', async () => {
  for (const client of ['a', 'b', 'c']) expect(await here.count(client, ['k', 'k'])).toBe(0)
  expect(await there.count('d', ['other', 'k'])).toBeGreaterThan(0)
  expect(await there.count('d', ['other'])).toBe(0)
})

test('beyond the limit a flood writes nothing, and names no further ids', async () => {
  for (let n = 0; n < 20; n++) await here.count('a', [`id ${n}`.padEnd(1_000, 'x')])
  const rows = await readCounts()
  expect(rows[0]).toEqual({ key: 'client a', points: 3 })
  expect(rows.slice(1).map(({ points }) => points)).toEqual([1, 1, 1])
})

test('when the minute is over the count begins anew', async () => {
  for (let n = 0; n < 4; n++) await here.count('a')
  await database.owner.query('update guess_count set expire = 0')
  expect(await there.count('a')).toBe(0)
  expect(await readCounts()).toEqual([{ key: 'client a', points: 1 }])
})

test('what cannot be counted gets no answer as a wrong secret: the fault of the database comes out', async () => {
  const url = new URL(database.url)
  url.searchParams.set('options', '-c default_transaction_read_only=on')
  const pool = openAuthPool(url.href, { max: 1 })
  try {
    const fault = await makeGuessLimit(pool, 3).count('a').catch(findDatabaseFault)
    expect(fault).toBe('read-only')
  } finally {
    await pool.end()
  }
})
