import { createCalendar } from '@/lib/hold/calendar'
import type { Clock } from '@/lib/hold/clock'
import { DAY, getWeekday, HOUR } from '@/lib/hold/zone'
import { computeForecast } from '@/lib/lane/forecast/forecast'
import { computeRisk, findRiskThresholdTimes } from '@/lib/lane/forecast/risk'
import type { Journey, Report } from '@/lib/lane/model/journey'
import type { Places } from '@/lib/lane/model/places'
import { buildTransitModel, type TransitModel } from '@/lib/lane/model/transitModel'
import { type Chance, chanceFrom } from '@/tests/reference/random'
import { type Comparison, compare } from './compare'
import { computePlainRisk } from './plainRisk'

const NOW = Date.UTC(2026, 9, 14, 15)
const ZONES = ['America/New_York', 'Europe/Lisbon', 'Asia/Kolkata', 'America/Sao_Paulo', 'America/Chicago']
const SERVICES = ['road', 'air', 'sea']
const HOURS = [0, 1, 2, 3, 4, 5, 6].map((day) => (day === 0 || day === 6 ? [] : [[480, 960] as const]))
const WORKWEEK = { weekdays: new Set([1, 2, 3, 4, 5]), closed: new Set<number>(), holdsFromAt: 0 }
const CALENDARS = ZONES.map((zone) => createCalendar(zone, [WORKWEEK]))

/** 60 plants and 5 laboratories; each service calls at a plant every workday at 16:00. */
const PLACES: Places = {
  plantZone: (plant) => ZONES[Number(plant.slice(1)) % ZONES.length] as string,
  calendar: (laboratory) => CALENDARS[Number(laboratory.slice(1))] as (typeof CALENDARS)[number],
  hours: () => HOURS,
  pickups: () => [null, 960, 960, 960, 960, 960, null],
}

/** A sample cut at `cutAt` (ms UTC) and reported up to `known`, each report a few hours late. */
function makeJourney(chance: Chance, cutAt: number, known: number): Journey {
  const reports: Report[] = []
  let at = cutAt
  for (const milestone of ['collected', 'dispatched', 'received', 'loaded'] as const) {
    if (at + 9 * HOUR > known) break
    reports.push({ milestone, at, latestAt: at, knownAt: at + chance.whole(9) * HOUR, withdrawnAt: null })
    at += milestone === 'dispatched' ? (1 + chance.whole(4)) * DAY : chance.whole(2) * DAY + HOUR
    while (getWeekday(Math.floor(at / DAY)) % 6 === 0) at += DAY
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

/** Open samples, cut within the last six days, each with ten days to the chamber. */
function makeOpenSamples(count: number, chance: Chance): Open[] {
  return Array.from({ length: count }, () => {
    const cutAt = NOW - HOUR - chance.whole(6 * DAY)
    const journey = makeJourney(chance, cutAt, cutAt + chance.whole(5) * DAY + 9 * HOUR)
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
      stoppedEarliestAt: null,
      earliestStopAt: null,
      dueAt: cutAt + 10 * DAY,
      firstDueAt: null,
      isEnded: false,
      isNotReported: false,
    }
    return { journey: { ...journey, reports }, clock }
  }).filter(({ journey }) => journey.reports.length > 0)
}

function buildPastModel(): TransitModel {
  const chance = chanceFrom(4)
  const journeys = Array.from({ length: 50_000 }, () =>
    makeJourney(chance, NOW - DAY - chance.whole(400 * DAY), NOW),
  )
  return buildTransitModel(journeys, PLACES, NOW, { halfLifeDays: 180 })
}

/**
 * Scores all open samples of a programme, against a computation of each sample by itself: every combination of steps,
 * nothing cached. Both must agree on a few of them.
 */
export function benchScoring(): Comparison[] {
  const record = buildPastModel()
  const open = makeOpenSamples(100_000, chanceFrom(5))
  const few = open.slice(0, 100)
  for (const { journey, clock } of open.slice(0, 400)) {
    const [ours, plain] = [
      computeRisk(clock, journey, record, NOW),
      computePlainRisk(clock, journey, record, NOW),
    ]
    if (ours === null || plain === null || Math.abs(ours - plain) > 1e-9)
      throw new Error(`The two ways do not agree on ${JSON.stringify(journey)}: ${ours} and ${plain}`)
  }
  const score = () => {
    for (const { journey, clock } of open) computeRisk(clock, journey, record, NOW)
  }
  const plainly = () => {
    for (const { journey, clock } of few) computePlainRisk(clock, journey, record, NOW)
  }
  return [
    compare(
      'scoring against every combination of steps',
      {
        name: `the risk of ${open.length.toLocaleString('en-US')} open samples`,
        count: open.length,
        run: score,
      },
      { name: 'each by itself, nothing kept', count: few.length, run: plainly },
      { aim: 'at least 20 times as fast', aimRatio: 20 },
    ),
    compare(
      'forecasts with their days, intervals and turns, against the same',
      {
        name: `${open.length.toLocaleString('en-US')} open samples`,
        count: open.length,
        run: () => {
          for (const { journey, clock } of open) {
            computeForecast(clock, journey, record, NOW)
            findRiskThresholdTimes(clock, journey, record, NOW)
          }
        },
      },
      { name: 'their risk alone, each by itself, nothing kept', count: few.length, run: plainly },
      { aim: 'none set', rounds: 3 },
    ),
  ]
}
