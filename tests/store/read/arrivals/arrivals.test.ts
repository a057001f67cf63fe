import { beforeAll, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { DAY, toLocalDay } from '@/lib/hold/zone'
import { forecastArrival } from '@/lib/lane/forecast/arrivalForecast'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { type Arrivals, getArrivals } from '@/lib/store/read/arrivals/arrivals'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { wire } from '../../../cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '../../../setup/database'
import { buildPureModel, laneProgramme } from '../../laneProgramme'

const NOW = Date.parse('2026-11-10T12:00:00Z')
const TODAY = toLocalDay(NOW, 'UTC')
const twice = Array.from({ length: 30 }, () => 2)
// Lane B lost sight of one that was sent thirteen days ago and has lapsed, and of one sent nine days ago; of C nothing is on its way.
const programme = laneProgramme(
  [
    { plant: 'A', laboratory: 'L1', service: 'road', days: [...twice, 2] },
    {
      plant: 'B',
      laboratory: 'L1',
      service: 'road',
      days: [...twice, null, 2, 2, 2, null, ...twice.slice(0, 8)],
    },
    { plant: 'C', laboratory: 'L2', service: 'road', days: [...twice, 0] },
  ],
  NOW,
)
const { record, journeys } = buildPureModel(programme, NOW)

let database: TestDatabase
const asked = (scope: Parameters<typeof getArrivals>[1], laboratories: readonly string[] | null = null) =>
  getArrivals(database.app, scope, laboratories, NOW)
const listCodes = ({ laboratories }: Arrivals) =>
  laboratories
    .flatMap(({ coming }) => coming.flatMap(({ samples }) => samples.map(({ code }) => code)))
    .sort()

beforeAll(async () => {
  database = await makeTestDatabase()
  await applyRegister(database.app, programme.register, NOW)
  await acceptEvents(database.app, wire(...programme.events), UNRESTRICTED, NOW)
})

describe('arrivals', () => {
  test('are what the pure library computes from the same events, and nobody waits for one that has lapsed', async () => {
    const { laboratories } = await asked('all')
    const received = (code: string) =>
      journeys.find((one) => one.code === code)?.reports.some(({ milestone }) => milestone === 'received')
    const lapsed = (report: { milestone: string; at: number }) =>
      report.milestone === 'collected' && report.at < NOW - 10 * DAY
    const onTheWay = journeys.filter(({ code, reports }) => !received(code) && !reports.some(lapsed))
    expect(listCodes(await asked('all'))).toEqual(onTheWay.map(({ code }) => code).sort())
    for (const { samples, chances, p50, lateSinceDay } of laboratories.flatMap(({ coming }) => coming)) {
      const journey = onTheWay.find(({ code }) => code === samples[0]?.code)
      const coming = journey && forecastArrival(journey, record, NOW)
      expect({ days: chances, p50, lateSinceDay }).toEqual({
        days: coming?.days,
        p50: coming?.p50,
        lateSinceDay: coming?.lateSinceDay,
      })
    }
  })

  test('begin with late ones, and with the day by which they usually arrive', async () => {
    const first = (await asked('all')).laboratories.find(({ code }) => code === 'L1')?.coming[0]
    expect(first?.plant.code).toBe('B')
    expect(first?.handedOverAt).toBe(Date.parse('2026-11-01T10:00:00Z'))
    // All of its lane took two days.
    expect(first?.lateSinceDay).toBe(toLocalDay(Date.parse('2026-11-03T10:00:00Z'), 'UTC'))
  })

  test('expect tomorrow what was sent yesterday on a lane of two days', async () => {
    const days = (await asked('all')).laboratories.find(({ code }) => code === 'L1')?.days
    expect(days?.[0]?.day).toBe(TODAY)
    expect(days?.[1]).toMatchObject({ day: TODAY + 1, low: 2, high: 2 })
  })

  test('are limited to the scope and to the given laboratories', async () => {
    const ofA = await asked({ plants: ['A'], laboratories: [] })
    const plants = ofA.laboratories.flatMap(({ coming }) => coming.map(({ plant }) => plant.code))
    expect(new Set(plants)).toEqual(new Set(['A']))
    const ofDesk = await asked({ plants: [], laboratories: ['L2'] }, ['L2'])
    expect(ofDesk.laboratories.map(({ code }) => code)).toEqual(['L2'])
    expect(listCodes(await asked({ plants: [], laboratories: [] }))).toEqual([])
  })
})
