import { beforeAll, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { generateKitCode } from '@/lib/custody/kitCode'
import type { Scope } from '@/lib/policy/scope'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { type Arrivals, getArrivals } from '@/lib/store/read/arrivals/arrivals'
import { readLanePage } from '@/lib/store/read/lanes/lanePage'
import { getSampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { makeRandom } from '@/tests/bench/manyEvents'
import { atPlant } from '@/tests/cases/reporters'
import { wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { laneProgramme } from './laneProgramme'

const NOW = Date.parse('2026-11-10T12:00:00Z')
const contact = (plant: string): Scope => ({ plants: [plant], laboratories: [] })
const desk = (laboratory: string): Scope => ({ plants: [], laboratories: [laboratory] })
const twice = Array.from({ length: 12 }, () => 2)

/** Plant A sends to both laboratories, its rival B to one. Of each lane the last shipment is under way. */
const programme = laneProgramme(
  [
    { plant: 'A', laboratory: 'L1', service: 'road', days: [...twice, 2] },
    { plant: 'A', laboratory: 'L2', service: 'road', days: [...twice, ...twice, 2] },
    { plant: 'B', laboratory: 'L1', service: 'road', days: [...twice, 2] },
  ],
  NOW,
)
const random = makeRandom(4021)
const [uncut, probeOfUsed, probeOfUnused] = [1, 2, 3].map(() => generateKitCode(random)) as [
  string,
  string,
  string,
]
const kit = (code: string, plant: string) => ({
  code,
  plant,
  laboratory: 'L1',
  service: 'road',
  product: `F ${plant}`,
  issuedAt: new Date(NOW - 3 * 86_400_000).toISOString(),
})

const register = {
  ...programme.register,
  kits: [...programme.register.kits, kit(uncut, 'A'), kit(probeOfUsed, 'B'), kit(probeOfUnused, 'B')],
}

const codesTo = (plant: string, laboratory: string) =>
  programme.register.kits
    .filter((one) => one.plant === plant && one.laboratory === laboratory)
    .map(({ code }) => code)
const event = (sample: string, kind: string, more: Record<string, string> = {}) => ({
  source: 'probe',
  id: `${sample} ${kind}`,
  sample,
  kind,
  at: new Date(NOW - 3_600_000).toISOString(),
  ...more,
})

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
  await applyRegister(database.app, register, NOW)
  await acceptEvents(database.app, wire(...programme.events, event(uncut, 'collected')), UNRESTRICTED, NOW)
})

test('a desk does not learn how much a plant sends to other laboratories, by what its hand-overs are forecast from', async () => {
  const handOver = async (scope: Scope) =>
    (await getSampleDossier(database.app, scope, uncut, NOW))?.forecasts
      .flatMap(({ stages }) => stages)
      .find(({ stage }) => stage.to === 'dispatched')?.evidence
  // Those to L2 are among them, which the desk of L1 has no business to count.
  expect((await handOver(contact('A')))?.unfadedConsignments).toBeGreaterThan(30)
  expect(await handOver(desk('L1'))).toMatchObject({
    arrivals: null,
    consignments: null,
    unfadedConsignments: null,
  })
})

describe('one who writes another’s waybill on a sample of their own', () => {
  const ofB = async () => (await readLanePage(database.app, contact('B'), B_ROAD, NOW))?.figures.counts
  const ofA = async () => (await readLanePage(database.app, contact('A'), A_ROAD, NOW))?.figures.counts
  const B_ROAD = { plant: 'B', laboratory: 'L1', service: 'road' }
  const A_ROAD = { plant: 'A', laboratory: 'L1', service: 'road' }
  const sent = (sample: string, waybill: string) =>
    acceptEvents(
      database.app,
      wire(event(sample, 'collected'), event(sample, 'dispatched', { service: 'road', waybill })),
      atPlant('B'),
      NOW,
    )

  test('neither learns from a count whether it is in use, nor takes weight from the other’s', async () => {
    const [before, theirs] = [await ofB(), await ofA()]
    await sent(probeOfUnused, 'W that is on nothing')
    const unused = await ofB()
    expect(unused?.all).toBeCloseTo((before?.all ?? 0) + 1, 9)
    await sent(probeOfUsed, `W ${codesTo('A', 'L1').at(-1)}`)
    expect((await ofB())?.all).toBeCloseTo((unused?.all ?? 0) + 1, 9)
    expect(await ofA()).toEqual(theirs)
  })

  test('does not travel with the other’s in what the laboratory is to expect', async () => {
    const { laboratories } = await getArrivals(database.app, desk('L1'), ['L1'], NOW)
    for (const { samples, plant } of laboratories.flatMap(({ coming }) => coming))
      expect(new Set(samples.map((row) => row.plant))).toEqual(new Set([plant.code]))
  })
})

test('a desk that is a plant’s contact as well expects only what comes to its laboratory', async () => {
  const codes = ({ laboratories }: Arrivals) =>
    laboratories.flatMap(({ coming }) => coming.flatMap(({ samples }) => samples.map(({ code }) => code)))
  const both = await getArrivals(database.app, { plants: ['A'], laboratories: ['L1'] }, ['L1'], NOW)
  expect(codes(both).length).toBeGreaterThan(0)
  expect(codes(both).filter((code) => codesTo('A', 'L2').includes(code))).toEqual([])
})
