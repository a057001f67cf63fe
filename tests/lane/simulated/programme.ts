import { createCalendar } from '@/lib/hold/calendar'
import type { Limit } from '@/lib/hold/limit'
import { DAY, findInstants, getWeekday, HOUR, MINUTE, toDayNumber } from '@/lib/hold/zone'
import type { Subject } from '@/lib/lane/backtest/trial'
import type { Journey, Report } from '@/lib/lane/model/journey'
import type { Places } from '@/lib/lane/model/places'
import { type Chance, chanceFrom } from '@/tests/reference/random'
import { between, drawValue, normal, proportional, share, skewedSteps } from './draws'
import { type Chances, loadings, receipts, type TrueLaboratory, type TrueLane } from './truth'

/** A simulated programme of which everything is known. Instants in ms UTC. */
export interface SimulatedProgramme {
  subjects: Subject[]
  places: Places
  findLane(journey: Journey): TrueLane
  /** The end of its life: every due is more than a week past. */
  now: number
}

const FIRST_DAY = toDayNumber(2025, 1, 6)
const WEEKS = 40

const LIMITS: readonly Limit[] = [
  { name: 'cut to chamber', from: 'collected', to: 'loaded', amount: 11, unit: 'days', counting: 'calendar' },
  { name: 'on the way', from: 'dispatched', to: 'received', amount: 5, unit: 'working days' },
  { name: 'cut to chamber, strictly', from: 'collected', to: 'loaded', amount: 210, unit: 'hours' },
]

/** Consignments of each lane: many, some and few. */
const VOLUMES = [260, 250, 60, 35, 20, 12, 8, 6, 4, 3, 2, 2]
export const BUSY_LANE_VOLUME = 240

const PLANT_ZONES = { EAST: 'Europe/Helsinki', WEST: 'Europe/Lisbon', FAR: 'America/Halifax' }
const PLANTS = Object.keys(PLANT_ZONES) as (keyof typeof PLANT_ZONES)[]
const PICKUP_MINUTE = 16 * 60 + 30

/** The same for each seed. */
export function simulatedProgramme(seed: number): SimulatedProgramme {
  const chance = chanceFrom(seed)
  const laboratories = [
    drawLaboratory('DUNE', 'Europe/Madrid', chance),
    drawLaboratory('FJORD', 'Europe/Oslo', chance),
  ]
  const lanes = drawLanes(laboratories, chance)
  const subjects = lanes.flatMap(({ lane, volume }) =>
    Array.from({ length: volume }, (_, index) => drawConsignment(lane, index, chance)).flat(),
  )
  const byLaneKey = new Map(
    lanes.map(({ lane }) => [laneKey(lane.plant, lane.laboratory.code, lane.service), lane]),
  )
  return {
    subjects: chance.shuffled(subjects),
    places: buildPlaces(laboratories),
    findLane: ({ plant, laboratory, service }) =>
      byLaneKey.get(laneKey(plant, laboratory, service)) as TrueLane,
    now: (FIRST_DAY + WEEKS * 7 + 40) * DAY,
  }
}

const laneKey = (...parts: (string | null)[]) => parts.join(' ')

function drawLaboratory(code: string, zone: string, chance: Chance): TrueLaboratory {
  const closed = new Set(Array.from({ length: 12 }, () => FIRST_DAY + chance.whole(WEEKS * 7)))
  const weekdays = new Set(
    chance.pick([
      [1, 2, 3, 4, 5],
      [1, 2, 3, 4, 5, 6],
      [2, 3, 4, 5],
    ]),
  )
  return {
    code,
    calendar: createCalendar(zone, [{ weekdays, closed, holdsFromAt: Number.NEGATIVE_INFINITY }]),
    receivesAt: proportional(
      [495, 540, 600, 660, 720],
      [1, 2, 3, 2, 1].map((part) => part * between(chance, 0.5, 2)),
    ),
    loadsAt: proportional(
      [810, 870, 930, 985],
      [1, 1, 1, 1].map((part) => part * between(chance, 0.5, 2)),
    ),
    dock: skewedSteps(between(chance, 0.6, 2), between(chance, 0.4, 0.8), 0, 12),
    receiptDelay: drawDelay(chance),
    loadingDelay: drawDelay(chance),
  }
}

/** A desk that types at once, in the evening, or now and then some days late. */
function drawDelay(chance: Chance): Chances {
  return proportional(
    [10, 45, 240, 1100, 2800],
    [4, 3, 2, between(chance, 0.2, 2), between(chance, 0, 0.6)].map(
      (part) => part * between(chance, 0.5, 1.5),
    ),
  )
}

function drawLanes(
  laboratories: readonly TrueLaboratory[],
  chance: Chance,
): { lane: TrueLane; volume: number }[] {
  const services = new Map(
    ['rail', 'van'].map((service) => [
      service,
      {
        median: between(chance, 1.6, 4),
        spread: between(chance, 0.3, 0.5),
        lost: between(chance, 0.005, 0.03),
      },
    ]),
  )
  const ways = PLANTS.flatMap((plant) =>
    laboratories.flatMap((laboratory) =>
      [...services].map(([service, pace]) => ({ plant, laboratory, service, pace })),
    ),
  )
  return chance.shuffled(ways).map(({ plant, laboratory, service, pace }, index) => ({
    volume: VOLUMES[index] as number,
    lane: {
      plant,
      plantZone: PLANT_ZONES[plant],
      laboratory,
      service,
      transit: skewedSteps(
        pace.median * Math.exp(0.25 * normal(chance)),
        pace.spread * Math.exp(0.15 * normal(chance)),
        1,
        20,
        1 - pace.lost,
      ),
    },
  }))
}

/** One box: cut in the morning or the day before, picked up on a workday, received together or lost together. */
function drawConsignment(lane: TrueLane, index: number, chance: Chance): Subject[] {
  let day = FIRST_DAY + chance.whole(WEEKS * 7)
  while (getWeekday(day) % 6 === 0) day += 1
  const dispatchedAt = localTime(day, PICKUP_MINUTE, lane.plantZone)
  const collectedAt = localTime(day - (share(chance) < 0.3 ? 1 : 0), 420 + chance.whole(240), lane.plantZone)
  const receivedAt = drawValue(receipts(lane, dispatchedAt), chance)
  const heardAfter = (drawValue(lane.laboratory.receiptDelay, chance) as number) * MINUTE
  const consignment = `${laneKey(lane.plant, lane.laboratory.code, lane.service)} ${index}`
  const limit = LIMITS[chance.pick([0, 0, 1, 1, 2])] as Limit
  const size = chance.pick([1, 1, 1, 2, 3, 5])
  return Array.from({ length: size }, (_, piece) => {
    const reports = [
      createReport('collected', collectedAt, 15 * MINUTE),
      createReport('dispatched', dispatchedAt, (share(chance) < 0.1 ? 5 * 60 : 5) * MINUTE),
    ]
    if (receivedAt !== undefined) {
      const loadedAt = drawValue(loadings(lane.laboratory, receivedAt), chance) as number
      const loadingHeardAfter = (drawValue(lane.laboratory.loadingDelay, chance) as number) * MINUTE
      reports.push(
        createReport('received', receivedAt, heardAfter),
        createReport('loaded', loadedAt, loadingHeardAfter),
      )
    }
    const foundLostAt = dispatchedAt + 25 * DAY
    const isFoundLost = receivedAt === undefined && index % 2 === 0
    return {
      limits: [limit],
      journey: {
        code: `${consignment}/${piece}`,
        plant: lane.plant,
        laboratory: lane.laboratory.code,
        service: lane.service,
        consignment,
        issuedAt: collectedAt - 5 * DAY,
        reports,
        ending: isFoundLost ? { kind: 'lost', at: foundLostAt, knownAt: foundLostAt + HOUR } : null,
      },
    }
  })
}

function createReport(milestone: Report['milestone'], at: number, after: number): Report {
  return { milestone, at, latestAt: at, knownAt: at + after, withdrawnAt: null }
}

function localTime(day: number, minute: number, zone: string): number {
  return findInstants(day * DAY + minute * MINUTE, zone).instants[0] as number
}

function buildPlaces(laboratories: readonly TrueLaboratory[]): Places {
  const byCode = new Map(laboratories.map((laboratory) => [laboratory.code, laboratory]))
  const calendar = (code: string) => (byCode.get(code) as TrueLaboratory).calendar
  return {
    plantZone: (plant) => PLANT_ZONES[plant as keyof typeof PLANT_ZONES],
    calendar,
    hours: (code) =>
      Array.from({ length: 7 }, (_, weekday) =>
        calendar(code).isOpen(FIRST_DAY - 70 + weekdayFrom(weekday)) ? [[480, 990] as const] : [],
      ),
    pickups: () => [null, ...Array<number>(5).fill(PICKUP_MINUTE), null],
  }
}

/** Days from a Monday to a weekday; the first day is a Monday, and so is every seventh before it. */
const weekdayFrom = (weekday: number) => (weekday + 6) % 7
