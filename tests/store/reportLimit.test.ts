import { beforeEach, expect, test } from 'vitest'
import { type NamedReporter, UNRESTRICTED } from '@/lib/custody/event'
import { MAX_CORRECTIONS, MAX_REPORTS } from '@/lib/custody/reportLimits'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { atPlant } from '@/tests/cases/reporters'
import { checkedRegister, KIT, OTHER_KIT, UNKNOWN_KIT, wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'

const NOW = Date.UTC(2026, 10, 10, 12)
const DOCK: NamedReporter = { ...UNRESTRICTED, by: 'key dock' }
const CARRIER: NamedReporter = { ...UNRESTRICTED, by: 'key carrier' }

let database: TestDatabase
let count = 0
beforeEach(async () => {
  database = await makeTestDatabase()
  await applyRegister(database.app, checkedRegister(), NOW - 1)
})

/** So many new events, alike but for their ids. */
const scans = (amount: number, of: object) =>
  Array.from({ length: amount }, () => {
    count += 1
    return { source: 'dock', id: `${count}`, kind: 'scanned', at: '2026-11-10T08:00:00Z', ...of }
  })

/** What became of each. */
async function accept(
  reporter: NamedReporter,
  ...events: Record<string, unknown>[]
): Promise<(string | null)[]> {
  const results = await acceptEvents(database.app, wire(...events), reporter, NOW)
  return results.map(({ acceptance }) => acceptance)
}

const countStored = async () => (await database.owner.query('select from event')).rowCount

const times = (count: number, acceptance: string) => Array.from({ length: count }, () => acceptance)

test('one reporter reports so many events of a sample, in one body or several; the rest is refused one by one', async () => {
  const first = scans(MAX_REPORTS - 1, { sample: KIT })
  expect(await accept(DOCK, ...first)).toEqual(times(MAX_REPORTS - 1, 'accepted'))
  const more = scans(3, { sample: KIT })
  const other = scans(1, { sample: OTHER_KIT })
  expect(await accept(DOCK, ...more, ...other)).toEqual(['accepted', 'too many', 'too many', 'accepted'])
  expect(await countStored()).toBe(MAX_REPORTS + 1)
  expect(await accept(DOCK, ...first, ...more.slice(1))).toEqual([
    ...times(MAX_REPORTS - 1, 'already known'),
    ...times(2, 'too many'),
  ])
})

test('a second event of the key of one too many is not taken in its place', async () => {
  await accept(DOCK, ...scans(MAX_REPORTS, { sample: KIT }))
  const [one] = scans(1, { sample: KIT })
  expect(await accept(DOCK, { ...one }, { ...one, sample: OTHER_KIT })).toEqual(times(2, 'too many'))
  expect(await countStored()).toBe(MAX_REPORTS)
})

test('a submission that is taken whole or not at all stores nothing if some of it is too many', async () => {
  await accept(DOCK, ...scans(MAX_REPORTS, { sample: KIT }))
  const events = wire(...scans(1, { sample: OTHER_KIT }), ...scans(1, { sample: KIT }))
  const results = await acceptEvents(database.app, events, DOCK, NOW, { isAllOrNone: true })
  expect(results.map(({ acceptance }) => acceptance)).toEqual(times(2, 'too many'))
  expect(await countStored()).toBe(MAX_REPORTS)
})

test('one who has reported too many keeps nobody else from reporting, nor themselves on another sample', async () => {
  await accept(DOCK, ...scans(MAX_REPORTS, { sample: KIT }))
  expect(await accept(CARRIER, ...scans(1, { sample: KIT }))).toEqual(['accepted'])
  expect(await accept(DOCK, ...scans(1, { sample: OTHER_KIT }))).toEqual(['accepted'])
})

test('events of a consignment count by themselves, however its waybill is written', async () => {
  const dispatched = scans(1, { sample: KIT, kind: 'dispatched', service: 'road', waybill: 'W 1' })
  await accept(DOCK, ...dispatched)
  await accept(DOCK, ...scans(MAX_REPORTS - 1, { service: 'road', waybill: 'W1' }))
  await accept(DOCK, ...scans(1, { service: 'road', waybill: 'w-1' }), ...scans(1, { sample: KIT }))
  expect(await accept(DOCK, ...scans(1, { service: 'road', waybill: 'W 1' }))).toEqual(['too many'])
})

test('one who may not see a sample, or any of a consignment, has the same limit there, as of an unknown one', async () => {
  const elsewhere = atPlant('P9')
  const dispatched = scans(1, { sample: KIT, kind: 'dispatched', service: 'road', waybill: 'W1' })
  await accept(DOCK, ...dispatched)
  for (const of of [
    { sample: KIT },
    { sample: UNKNOWN_KIT },
    { service: 'road', waybill: 'W1' },
    { service: 'road', waybill: 'W2' },
  ])
    expect(await accept(elsewhere, ...scans(MAX_REPORTS + 1, of))).toEqual([
      ...times(MAX_REPORTS, 'unplaced'),
      'too many',
    ])
})

test('one reporter corrects an event so many times, by events of whichever samples, and others do nonetheless', async () => {
  const [first] = scans(1, { sample: KIT })
  await accept(DOCK, first as Record<string, unknown>)
  const correction = (sample: string) => scans(1, { sample, corrects: `dock/${first?.id}` })
  for (let n = 0; n < MAX_CORRECTIONS; n++) await accept(DOCK, ...correction(n % 2 ? KIT : UNKNOWN_KIT))
  expect(await accept(DOCK, ...correction(OTHER_KIT))).toEqual(['too many'])
  expect(await accept(CARRIER, ...correction(KIT))).toEqual(['accepted'])
})

test('a file of the programme itself may bring any number', async () => {
  await accept(UNRESTRICTED, ...scans(MAX_REPORTS + 1, { sample: KIT }))
  expect(await countStored()).toBe(MAX_REPORTS + 1)
})
