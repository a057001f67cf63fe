import { beforeAll, beforeEach, expect, test } from 'vitest'
import { type NamedReporter, UNRESTRICTED } from '@/lib/custody/event'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { listKeptBoxes } from '@/lib/store/read/arrivals/keptBoxes'
import { listUnplacedEvents } from '@/lib/store/read/unplaced/unplacedEvents'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { atLaboratory } from '@/tests/cases/reporters'
import { clearLedger, derivedText } from '../../../cases/derivedText'
import { checkedRegister, KIT, wire } from '../../../cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '../../../setup/database'

const NOW = Date.parse('2026-10-20T12:00:00Z')
const DESK = atLaboratory('LAB', 'person 1')
const CONDITION = { seal: 'broken' }
const BOX = { source: 'hand 1', id: 'box', kind: 'received', at: '2026-10-19T10:00:00Z', place: 'LAB' }

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})
beforeEach(async () => {
  await clearLedger(database.owner)
  await applyRegister(database.app, checkedRegister(), NOW)
})

const accept = async (reporting: NamedReporter, ...events: Record<string, unknown>[]) => {
  const results = await acceptEvents(database.app, wire(...events), reporting, NOW)
  return results.map(({ acceptance }) => acceptance)
}
const read = () => listUnplacedEvents(database.app, 'all', NOW)
const listReceived = async () =>
  (await derivedText(database.owner)).filter((row) => row.startsWith(`(${KIT},`) && row.includes('received'))

test('a box without a code waits in sight, with where it is and what is known of it', async () => {
  const typo = `${KIT.slice(0, 3)}${KIT[3] === 'Z' ? 'Y' : 'Z'}${KIT.slice(4)}`
  const sent = { source: 'desk', id: 'sent', kind: 'dispatched', sample: KIT, at: '2026-10-17T10:00:00Z' }
  await accept(UNRESTRICTED, { ...sent, service: 'road', waybill: 'W-100' })
  await accept(UNRESTRICTED, { ...sent, id: 'sent, told again', service: 'road', waybill: 'W-100' })
  const facts = { writtenOnBox: typo.toLowerCase(), condition: CONDITION }
  expect(await accept(DESK, { ...BOX, waybill: 'w 101', facts })).toEqual(['unplaced'])
  const { total, events } = await read()
  expect(total).toBe(1)
  expect(events).toMatchObject([
    {
      key: 'hand 1/box',
      placeName: 'A laboratory',
      reason: { key: 'unplaced.reason.noCode' },
      likely: [
        { code: KIT, why: { key: 'unplaced.likely.slip' } },
        { code: KIT, why: { key: 'unplaced.likely.waybill' } },
      ],
      event: { sample: null, facts },
    },
  ])
})

test('it leaves the list when it is assigned to a sample, and counts for that one', async () => {
  await accept(DESK, BOX)
  expect(await listReceived()).toEqual([])
  const assigned = { ...BOX, source: 'office', id: 'again', sample: KIT, corrects: 'hand 1/box' }
  expect(await accept(UNRESTRICTED, assigned)).toEqual(['accepted'])
  const { total, corrected } = await read()
  expect([total, corrected.map(({ key }) => key)]).toEqual([0, ['hand 1/box']])
  expect(await listReceived()).toHaveLength(1)
})

test('it leaves the list when its desk withdraws it, and not when another laboratory does', async () => {
  await accept(DESK, BOX)
  const undone = { ...BOX, id: 'undone', kind: 'withdrawn', corrects: 'hand 1/box' }
  await accept(atLaboratory('LAB2', 'person 2'), { ...undone, source: 'hand 2' })
  expect((await read()).total).toBe(1)
  await accept(DESK, undone)
  const { total, corrected } = await read()
  expect([total, corrected.map(({ key }) => key)]).toEqual([0, ['hand 1/box']])
})

test('what is written on a box may be no text, and the list is there all the same', async () => {
  // As JSON brings it: neither of the two can be called.
  const unprintable = { toString: 1, valueOf: 1 }
  await accept(
    DESK,
    { ...BOX, facts: { writtenOnBox: unprintable } },
    { ...BOX, id: 'number', facts: { writtenOnBox: 7 } },
  )
  expect((await read()).events.map(({ key, likely }) => [key, likely])).toEqual([
    ['hand 1/number', []],
    ['hand 1/box', []],
  ])
})

test('one who sends more boxes than are listed hides none of another’s', async () => {
  await accept(atLaboratory('LAB', 'person 2'), { ...BOX, source: 'hand 2' })
  await accept(DESK, ...Array.from({ length: 201 }, (_, n) => ({ ...BOX, id: `box ${n}` })))
  const { total, events } = await read()
  expect([total, events.length]).toEqual([202, 200])
  expect(events.map(({ key }) => key)).toEqual(
    expect.arrayContaining(['hand 2/box', 'hand 1/box 200', 'hand 1/box 2']),
  )
  const kept = await listKeptBoxes(database.app, 'all', NOW)
  expect([kept.total, kept.boxes.length, kept.boxes.at(-1)?.key]).toEqual([202, 50, 'hand 2/box'])
})
