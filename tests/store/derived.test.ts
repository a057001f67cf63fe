import fc from 'fast-check'
import type pg from 'pg'
import { beforeAll, describe, expect, test } from 'vitest'
import { deduplicateEvents } from '@/lib/custody/assess'
import { type ReadEvent, UNRESTRICTED } from '@/lib/custody/event'
import { placeEvents } from '@/lib/custody/placing'
import { deriveSample } from '@/lib/custody/sample'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { computeKnownAt } from '@/lib/store/projection/buildJourney'
import { deriveDueSamples } from '@/lib/store/projection/deriveDue'
import { rebuild } from '@/lib/store/projection/rebuild'
import { toDerivedRow } from '@/lib/store/projection/writeSamples'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { clearLedger, derivedText } from '@/tests/cases/derivedText'
import { CASE_NOW, type CaseName, sharedCase } from '@/tests/cases/sharedCase'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})

/** The same by the pure library alone, through the same table's own form of text. */
async function expectedText(
  pool: pg.Pool,
  name: CaseName,
  events: readonly ReadEvent[],
  now: number,
): Promise<string[]> {
  const { kits, register } = sharedCase(name)
  const once = deduplicateEvents(events).events
  const { bySample, unplaced } = placeEvents(once, (code) => kits.has(code), now)
  const knownAt = computeKnownAt(once.map((event) => ({ ...event, acceptedAt: now })))
  const rows = [...kits.values()].map((kit) =>
    toDerivedRow(deriveSample(kit, bySample.get(kit.code) ?? [], register, now), register, knownAt),
  )
  const { rows: texts } = await pool.query<{ row: string }>(
    'select s::text as row from json_populate_recordset(null::sample, $1::json) as s order by code',
    [JSON.stringify(rows)],
  )
  return [
    ...texts.map(({ row }) => row),
    ...unplaced.map(({ source, id }) => `unplaced ${source}/${id}`).sort(),
  ]
}

/** A shuffle (Fisher and Yates) that an integer decides, by the minimal standard generator of Park and Miller. */
function shuffled<T>(list: readonly T[], order: number): T[] {
  const result = [...list]
  let state = (order % 2147483646) + 1
  for (let last = result.length - 1; last > 0; last -= 1) {
    state = (state * 48271) % 2147483647
    const other = state % (last + 1)
    ;[result[last], result[other]] = [result[other] as T, result[last] as T]
  }
  return result
}

describe('what is derived', () => {
  test('is what the pure library says, whatever the order and the parts in which events come', async () => {
    const scenario = fc.record({
      name: fc.constantFrom('autumn' as const, 'edges' as const, 'rest' as const),
      order: fc.nat(),
      cuts: fc.array(fc.nat(450), { minLength: 1, maxLength: 6 }),
      kitsAfter: fc.nat(6),
    })
    await fc.assert(
      fc.asyncProperty(scenario, async ({ name, order, cuts, kitsAfter }) => {
        const { document, events: inOrder } = sharedCase(name)
        const events = shuffled(inOrder, order)
        await clearLedger(database.owner)
        await applyRegister(database.app, { ...document, kits: [] }, CASE_NOW)
        const bounds = [0, ...[...cuts].sort((a, b) => a - b), events.length]
        for (const [index, start] of bounds.entries()) {
          if (index === Math.min(kitsAfter, bounds.length - 1))
            await applyRegister(database.app, document, CASE_NOW)
          const part = events.slice(start, bounds[index + 1] ?? start)
          await acceptEvents(database.app, () => part.map((event) => ({ event })), UNRESTRICTED, CASE_NOW)
        }
        expect(await derivedText(database.owner)).toEqual(
          await expectedText(database.owner, name, events, CASE_NOW),
        )
      }),
      { numRuns: chooseUsualOrLong({ usual: 4, long: 12 }) },
    )
  }, 120_000)

  test.each([
    ['autumn', 'edges'],
    ['rest', 'autumn'],
  ] as const)('comes out the same, bit for bit, when %s is rebuilt from the ledgers', async (...names) => {
    await clearLedger(database.owner)
    await applyRegister(database.app, sharedCase(names[0]).document, CASE_NOW)
    for (const name of names) {
      const { events } = sharedCase(name)
      await acceptEvents(database.app, () => events.map((event) => ({ event })), UNRESTRICTED, CASE_NOW)
    }
    const before = await derivedText(database.owner)
    expect(before.length).toBeGreaterThan(60)
    await rebuild(database.app, CASE_NOW)
    expect(await derivedText(database.owner)).toEqual(before)
  })

  test('takes in an event ahead of its time when the time comes', async () => {
    await clearLedger(database.owner)
    await applyRegister(database.app, sharedCase('edges').document, CASE_NOW)
    const { events } = sharedCase('edges')
    await acceptEvents(database.app, () => events.map((event) => ({ event })), UNRESTRICTED, CASE_NOW)
    const stage = async () =>
      (await database.owner.query("select stage, derive_again_at from sample where code = 'SXFEFSJU'"))
        .rows[0]
    expect(await stage()).toEqual({ stage: null, derive_again_at: new Date('2026-11-20T10:00:00Z') })
    const later = Date.parse('2026-11-20T10:00:00Z')
    expect(await deriveDueSamples(database.app, later - 1)).toBe(0)
    expect(await deriveDueSamples(database.app, later)).toBe(1)
    expect(await stage()).toEqual({ stage: 'collected', derive_again_at: null })
    expect(await deriveDueSamples(database.app, later)).toBe(0)
  })
})
