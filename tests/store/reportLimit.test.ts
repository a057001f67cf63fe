import { beforeEach, expect, test } from 'vitest'
import { type NamedReporter, UNRESTRICTED } from '@/lib/custody/event'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { isReportLimit, MAX_CORRECTIONS, MAX_REPORTS } from '@/lib/store/projection/reportLimit'
import { applyRegister } from '@/lib/store/register/changeRegister'
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

const accept = (reporter: NamedReporter, ...events: Record<string, unknown>[]) =>
  acceptEvents(database.app, wire(...events), reporter, NOW)

const countStored = async () => (await database.owner.query('select from event')).rowCount

test('one reporter reports so many events of a sample, in one body or several, and no more', async () => {
  await expect(accept(DOCK, ...scans(MAX_REPORTS + 1, { sample: KIT }))).rejects.toSatisfy(isReportLimit)
  expect(await countStored()).toBe(0)
  const first = scans(MAX_REPORTS - 1, { sample: KIT })
  await accept(DOCK, ...first)
  await accept(DOCK, ...scans(1, { sample: KIT }))
  await expect(accept(DOCK, ...scans(1, { sample: KIT }))).rejects.toThrow(
    `more than 1500 events of sample ${KIT}. Nothing was stored.`,
  )
  expect(await countStored()).toBe(MAX_REPORTS)
  const again = await accept(DOCK, ...first)
  expect(new Set(again.map(({ acceptance }) => acceptance))).toEqual(new Set(['already known']))
})

test('one who has reported too many keeps nobody else from reporting, nor themselves on another sample', async () => {
  await accept(DOCK, ...scans(MAX_REPORTS, { sample: KIT }))
  for (const [reporter, sample] of [
    [CARRIER, KIT],
    [DOCK, OTHER_KIT],
  ] as const) {
    const [one] = await accept(reporter, ...scans(1, { sample }))
    expect(one?.acceptance).toBe('accepted')
  }
})

test('events of a consignment count by themselves, however its waybill is written', async () => {
  const dispatched = scans(1, { sample: KIT, kind: 'dispatched', service: 'road', waybill: 'W 1' })
  await accept(DOCK, ...dispatched)
  await accept(DOCK, ...scans(MAX_REPORTS - 1, { service: 'road', waybill: 'W1' }))
  await accept(DOCK, ...scans(1, { service: 'road', waybill: 'w-1' }), ...scans(1, { sample: KIT }))
  await expect(accept(DOCK, ...scans(1, { service: 'road', waybill: 'W 1' }))).rejects.toThrow(
    'more than 1500 events of consignment W 1 by road.',
  )
})

test('one who may not see a sample, or any of a consignment, has the same limit there, as of an unknown one', async () => {
  const elsewhere: NamedReporter = { by: 'key elsewhere', kinds: null, plants: ['P9'], laboratories: null }
  const dispatched = scans(1, { sample: KIT, kind: 'dispatched', service: 'road', waybill: 'W1' })
  await accept(DOCK, ...dispatched)
  for (const of of [
    { sample: KIT },
    { sample: UNKNOWN_KIT },
    { service: 'road', waybill: 'W1' },
    { service: 'road', waybill: 'W2' },
  ]) {
    const first = await accept(elsewhere, ...scans(MAX_REPORTS, of))
    expect(new Set(first.map(({ acceptance }) => acceptance))).toEqual(new Set(['unplaced']))
    await expect(accept(elsewhere, ...scans(1, of))).rejects.toSatisfy(isReportLimit)
  }
})

test('one reporter corrects an event so many times, by events of whichever samples, and others do nonetheless', async () => {
  const [first] = scans(1, { sample: KIT })
  await accept(DOCK, first as Record<string, unknown>)
  const correction = (sample: string) => scans(1, { sample, corrects: `dock/${first?.id}` })
  for (let n = 0; n < MAX_CORRECTIONS; n++) await accept(DOCK, ...correction(n % 2 ? KIT : UNKNOWN_KIT))
  await expect(accept(DOCK, ...correction(OTHER_KIT))).rejects.toThrow(
    `more than 10 events that correct dock/${first?.id}. Nothing was stored.`,
  )
  const [other] = await accept(CARRIER, ...correction(KIT))
  expect(other?.acceptance).toBe('accepted')
})

test('a file of the programme itself may bring any number', async () => {
  await accept(UNRESTRICTED, ...scans(MAX_REPORTS + 1, { sample: KIT }))
  expect(await countStored()).toBe(MAX_REPORTS + 1)
})
