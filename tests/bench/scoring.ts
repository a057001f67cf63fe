import { calendarOf } from '@/lib/hold/calendar'
import type { Clock } from '@/lib/hold/clock'
import { DAY, HOUR, weekdayOf } from '@/lib/hold/zone'
import { forecastOf } from '@/lib/lane/forecast'
import type { Journey, Report } from '@/lib/lane/journey'
import type { Places } from '@/lib/lane/places'
import { type LaneRecord, recordOf } from '@/lib/lane/record'
import { riskOf, turnsByRisk } from '@/lib/lane/risk'
import { type Chance, chanceFrom } from '@/tests/reference/random'

const NOW = Date.UTC(2026, 9, 14, 15)
const ZONES = ['America/New_York', 'Europe/Lisbon', 'Asia/Kolkata', 'America/Sao_Paulo', 'America/Chicago']
const SERVICES = ['road', 'air', 'sea']
const HOURS = [0, 1, 2, 3, 4, 5, 6].map((day) => (day === 0 || day === 6 ? [] : [[480, 960] as const]))
const WORKWEEK = { weekdays: new Set([1, 2, 3, 4, 5]), closed: new Set<number>(), holdsFromAt: 0 }
const CALENDARS = ZONES.map((zone) => calendarOf(zone, [WORKWEEK]))

/** 60 plants and 5 laboratories; a service calls at a plant each workday at 16:00. */
const PLACES: Places = {
  plantZone: (plant) => ZONES[Number(plant.slice(1)) % ZONES.length] as string,
  calendar: (laboratory) => CALENDARS[Number(laboratory.slice(1))] as (typeof CALENDARS)[number],
  hours: () => HOURS,
  pickups: () => [null, 960, 960, 960, 960, 960, null],
}

/** A sample cut at `cutAt` (ms UTC) that was reported up to `known`, each report a few hours late. */
function sampleOf(chance: Chance, cutAt: number, known: number): Journey {
  const reports: Report[] = []
  let at = cutAt
  for (const milestone of ['collected', 'dispatched', 'received', 'loaded'] as const) {
    if (at + 9 * HOUR > known) break
    reports.push({ milestone, at, latestAt: at, knownAt: at + chance.whole(9) * HOUR, withdrawnAt: null })
    at += milestone === 'dispatched' ? (1 + chance.whole(4)) * DAY : chance.whole(2) * DAY + HOUR
    while (weekdayOf(Math.floor(at / DAY)) % 6 === 0) at += DAY
  }
  return {
    code: `S${cutAt}`,
    plant: `P${chance.whole(60)}`,
    laboratory: `L${chance.whole(5)}`,
    service: chance.pick(SERVICES),
    consignment: null,
    issuedAt: cutAt - DAY,
    reports,
    ending: null,
  }
}

interface Open {
  journey: Journey
  clock: Clock
}

/** Open samples, cut in the last six days, each with ten days to the chamber. */
function openSamples(count: number, chance: Chance): Open[] {
  return Array.from({ length: count }, () => {
    const cutAt = NOW - HOUR - chance.whole(6 * DAY)
    const journey = sampleOf(chance, cutAt, cutAt + chance.whole(5) * DAY + 9 * HOUR)
    const reports = journey.reports.filter(
      ({ milestone, knownAt }) => milestone !== 'loaded' && knownAt <= NOW,
    )
    const clock: Clock = {
      limit: {
        name: 'cut to chamber',
        from: 'collected',
        to: 'loaded',
        amount: 10,
        unit: 'days',
        counting: 'elapsed',
      },
      startedAt: cutAt,
      stoppedAt: null,
      dueAt: cutAt + 10 * DAY,
      firstDueAt: null,
      isEnded: false,
      isNotReported: false,
    }
    return { journey: { ...journey, reports }, clock }
  }).filter(({ journey }) => journey.reports.length > 0)
}

function pastRecord(): LaneRecord {
  const chance = chanceFrom(4)
  const journeys = Array.from({ length: 50_000 }, () =>
    sampleOf(chance, NOW - DAY - chance.whole(400 * DAY), NOW),
  )
  return recordOf(journeys, PLACES, NOW, { halfLifeDays: 180 })
}

const t0 = performance.now()
const record = pastRecord()
console.log('record', performance.now() - t0)
const open = openSamples(100_000, chanceFrom(5))
const t1 = performance.now()
let sum = 0
for (const { journey, clock } of open.slice(0, 100)) sum += riskOf(clock, journey, record, NOW) ?? 0
const t2 = performance.now()
console.log('first 100', t2 - t1)
for (const { journey, clock } of open) sum += riskOf(clock, journey, record, NOW) ?? 0
const t3 = performance.now()
console.log('risk', open.length, t3 - t2)
for (const { journey, clock } of open) sum += forecastOf(clock, journey, record, NOW)?.risk ?? 0
const t4 = performance.now()
console.log('forecast', t4 - t3)
for (const { journey, clock } of open) turnsByRisk(clock, journey, record, NOW)
const t5 = performance.now()
console.log('turns', t5 - t4, sum / 2 / open.length)
