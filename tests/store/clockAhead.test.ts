import { beforeAll, beforeEach, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { DAY, HOUR } from '@/lib/hold/zone'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { rebuild } from '@/lib/store/projection/rebuild'
import { getBoard } from '@/lib/store/read/board'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { clearLedger, derivedText } from '@/tests/cases/derivedText'
import { checkedRegister, KIT, OTHER_KIT, wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'

const NOW = Date.UTC(2026, 10, 10, 12)
const AHEAD = NOW + 3 * DAY

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})

let count = 0
const iso = (at: number) => new Date(at).toISOString()

async function accept(now: number, ...events: Record<string, unknown>[]) {
  const named = events.map((event) => ({ source: 'desk', id: `${count++}`, ...event }))
  const items = await acceptEvents(database.app, wire(...named), UNRESTRICTED, now)
  expect(items.map(({ acceptance }) => acceptance)).toEqual(events.map(() => 'accepted'))
}

const readBoard = async (now: number) => {
  const { bands } = await getBoard(database.app, 'all', {}, now)
  return bands
    .flatMap(({ rows }) => rows)
    .map((row) => ({ code: row.code, stage: row.stage, standing: row.standing }))
}

/** A sample whose next milestone and whose new limit are reported ahead of their time. */
beforeEach(async () => {
  await clearLedger(database.owner)
  await applyRegister(database.app, checkedRegister(), NOW - DAY)
  await accept(
    NOW - HOUR,
    { sample: KIT, kind: 'collected', at: iso(NOW - DAY) },
    { sample: OTHER_KIT, kind: 'collected', at: iso(NOW + DAY) },
    { sample: KIT, kind: 'sealed', at: iso(NOW + 2 * DAY) },
  )
})

/** Reads what a reader at `now` finds, and holds it against a rebuild at that time. */
async function expectRebuilt(now: number) {
  const board = await readBoard(now)
  const derived = await derivedText(database.owner)
  await rebuild(database.app, now)
  expect(derived).toEqual(await derivedText(database.owner))
  expect(board).toEqual(await readBoard(now))
  return board
}

test('a clock that was three days ahead leaves no sample further than a rebuild would', async () => {
  const before = await readBoard(NOW)
  expect(await readBoard(AHEAD)).not.toEqual(before)
  expect(await expectRebuilt(NOW)).toEqual(before)
})

test('events that came in while the clock was ahead count from their own time', async () => {
  await accept(AHEAD, { sample: KIT, kind: 'dispatched', at: iso(NOW + DAY), service: 'road', waybill: 'W1' })
  await accept(AHEAD, { service: 'road', waybill: 'W1', kind: 'scanned', at: iso(NOW + 2 * DAY) })
  await expectRebuilt(NOW)
  await accept(NOW + HOUR, { sample: OTHER_KIT, kind: 'sealed', at: iso(NOW) })
  for (const hours of [1, 25, 60, 72]) await expectRebuilt(NOW + hours * HOUR)
})

test('a limit that took effect while the clock was ahead applies again when its time comes', async () => {
  const five = { name: 'cut to chamber', from: 'collected', to: 'loaded', amount: 5, unit: 'days' }
  const changed = { code: 'TEN', name: 'Ten days', limits: [{ ...five, counting: 'elapsed' }] }
  const document = checkedRegister({ holdsFrom: iso(NOW + DAY), protocols: [changed] })
  await applyRegister(database.app, document, NOW)
  await readBoard(AHEAD)
  await expectRebuilt(NOW)
  await expectRebuilt(NOW + DAY)
})

test('forecasts that were scored while the clock was ahead are scored again', async () => {
  await readBoard(AHEAD)
  await readBoard(NOW)
  const ahead = await database.owner.query('select from forecast where scored_at > $1', [new Date(NOW)])
  expect(ahead.rowCount).toBe(0)
})
