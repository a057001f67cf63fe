import { createHash } from 'node:crypto'
import { beforeEach, expect, test } from 'vitest'
import { DAY, HOUR } from '@/lib/hold/zone'
import { consumeSignature, MAX_CLOCK_SKEW_MS } from '@/lib/store/people/usedSignatures'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'

const NOW = Date.parse('2026-10-20T12:00:00Z')
const MINUTE = 60_000

let database: TestDatabase
// Each test has a pool of its own, as a server has after its start.
beforeEach(async () => {
  database = await makeTestDatabase()
})

/** Uses a signature so long after the start, by a clock that is so far ahead of the true time. */
const use = (name: string, upMs: number, aheadMs = 0) =>
  consumeSignature(
    database.authPool,
    createHash('sha256').update(name).digest(),
    NOW + upMs + aheadMs,
    HOUR + upMs,
  )

const countKept = async () => (await database.owner.query('select from used_signature')).rowCount

test('a signature is accepted once, even concurrently', async () => {
  const uses = await Promise.all(Array.from({ length: 10 }, () => use('one', 0)))
  expect(uses.filter(Boolean)).toHaveLength(1)
})

test('a used signature is deleted when it is too old to be accepted', async () => {
  for (const minutes of [0, 1, 9, 13]) expect(await use(`after ${minutes}`, minutes * MINUTE)).toBe(true)
  expect(await countKept()).toBe(2)
})

test('a signature that was used before the clock went three days ahead is not accepted once it is back', async () => {
  // The signer has the same clock, so its signatures are timely all along.
  await use('true', 0)
  for (let upMs = MINUTE; upMs <= MAX_CLOCK_SKEW_MS; upMs += MINUTE)
    expect(await use(`ahead ${upMs}`, upMs, 3 * DAY)).toBe(true)
  expect(await use('true', MAX_CLOCK_SKEW_MS)).toBe(false)
})

test('used signatures are deleted again while the clock stays ahead, and when it is back', async () => {
  for (const minutes of [1, 2, 14]) await use(`ahead ${minutes}`, minutes * MINUTE, 3 * DAY)
  expect(await countKept()).toBe(1)
  for (const minutes of [15, 16, 28]) await use(`back ${minutes}`, minutes * MINUTE)
  // The last of each clock. That of the clock ahead waits for its time.
  expect(await countKept()).toBe(2)
})
