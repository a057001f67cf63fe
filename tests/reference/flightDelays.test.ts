import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import type { TriedForecast } from '@/lib/lane/backtest/backtest'
import { PlainRules } from '@/lib/lane/backtest/plainRules'
import { computeScore, type Score } from '@/lib/lane/backtest/scoreboard'
import type { Moment, Trial } from '@/lib/lane/backtest/trial'
import { fitHazards } from '@/lib/lane/model/fit'
import type { Observation } from '@/lib/lane/model/observation'

/**
 * Real delays as open data: 20,000 flights of January to March 2001 in the United States, a sample of the on-time
 * records of the Bureau of Transportation Statistics, as the npm package vega-datasets 3.2.1 has them
 * (data/flights-20k.json; the package is BSD-3-Clause). An origin and a destination are a lane, all flights from an
 * origin the wider group, and a step is a quarter of an hour of delay. Fitted on January and February, scored on March.
 */
interface Flight {
  /** `YYYY/MM/DD HH:MM`, local. */
  date: string
  /** Minutes, negative where it was early. */
  delay: number
  origin: string
  destination: string
}

const flights: Flight[] = JSON.parse(
  readFileSync(new URL('../../node_modules/vega-datasets/data/flights-20k.json', import.meta.url), 'utf8'),
)
const getDay = ({ date }: Flight) => Date.parse(`${date.slice(0, 10).replaceAll('/', '-')}T00:00:00Z`)
const MARCH = Date.parse('2001-03-01T00:00:00Z')
const past = flights.filter((flight) => getDay(flight) < MARCH)
const later = flights.filter((flight) => getDay(flight) >= MARCH)

/** Late is more than an hour: after the fourth step. */
const DUE = 4
const countSteps = ({ delay }: Flight) => Math.max(0, Math.ceil(delay / 15))
const getLevels = ({ origin, destination }: Flight) => [`${origin} ${destination}`, origin]

const toObservation = (flight: Flight): Observation => ({
  levels: getLevels(flight),
  startedAt: getDay(flight),
  steps: countSteps(flight),
  hasArrived: true,
  weight: 1,
})

/** A flight as a trial: a moment before it leaves, then one after each step at which it had not arrived. */
function toTrial(flight: Flight): Trial {
  const [at, steps] = [getDay(flight), countSteps(flight)]
  const moments = Array.from({ length: Math.min(steps, DUE) + 1 }, (_, openDays) => ({
    at: at + openDays,
    openDays,
    phase: 'dispatched',
  })) as Moment[]
  const limit = { name: 'an hour', from: 'dispatched', to: 'received', amount: DUE, unit: 'hours' } as const
  const journey = {
    code: flight.date,
    plant: flight.origin,
    laboratory: flight.destination,
    service: flight.origin,
  }
  return {
    journey: { ...journey, consignment: null, issuedAt: at, reports: [], ending: null },
    limit,
    dispatchedAt: at,
    dueAt: at + DUE,
    stoppedAt: at + steps,
    isLate: steps > DUE,
    moments,
  }
}

const fit = fitHazards(past.map(toObservation), {
  referenceAt: MARCH,
  presumedLostSteps: Number.POSITIVE_INFINITY,
})
const rules = new PlainRules()
for (const flight of past) rules.learn(toTrial(flight), 1)

/** The chance of arriving after the due, given that it had not arrived after so many steps. */
function computeFlightRisk(flight: Flight, gone: number): number {
  return fit
    .hazards(getLevels(flight))
    .slice(gone, DUE + 1)
    .reduce((left, hazard) => left * (1 - hazard), 1)
}

const countOfLane = new Map<string, number>()
for (const flight of past) {
  const lane = getLevels(flight)[0] as string
  countOfLane.set(lane, (countOfLane.get(lane) ?? 0) + 1)
}

function forecastFlights(some: readonly Flight[]): TriedForecast[] {
  return some.flatMap((flight, index) => {
    const trial = toTrial(flight)
    return trial.moments.map((moment) => {
      const risk = computeFlightRisk(flight, moment.openDays)
      return {
        ...trial,
        at: moment.at,
        openDays: moment.openDays,
        known: { milestones: new Map(), ending: null },
        risk,
        low: risk,
        high: risk,
        plain: rules.chances(trial, moment),
        consignment: `${flight.date} ${index}`,
        weight: 1,
        // A storm holds up all of a day.
        cluster: String(getDay(flight)),
      }
    })
  })
}

const flownBefore = (flight: Flight) => countOfLane.get(getLevels(flight)[0] as string) ?? 0
const scored = {
  all: computeScore(forecastFlights(later)),
  thin: computeScore(forecastFlights(later.filter((flight) => flownBefore(flight) <= 5))),
  thick: computeScore(forecastFlights(later.filter((flight) => flownBefore(flight) >= 20))),
}

describe('a fit to real flight delays', () => {
  test('has lanes thin and thick to be scored on, and enough that was late', () => {
    expect([past.length, later.length]).toEqual([12901, 7099])
    expect(scored.thin.consignments).toBeGreaterThan(3000)
    expect(scored.thick.consignments).toBeGreaterThan(400)
    expect(scored.all.late).toBeGreaterThan(0.1)
  })

  test('comes nearer than every plain rule on the later month, beyond chance', () => {
    for (const { rule, nearer, isBeyondChance } of scored.all.rules)
      expect([rule, nearer, isBeyondChance]).toEqual([rule, 'ours', true])
  })

  test.each(['thin', 'thick'] as const)('comes nearer than every plain rule on %s lanes', (lanes) => {
    for (const { rule, skill } of scored[lanes].rules) {
      expect([rule, (skill as number) > 0]).toEqual([rule, true])
    }
  })

  test('gains most on what a thin lane could not say by itself', () => {
    const own = (score: Score) =>
      score.rules.find(({ rule }) => rule === 'share of the lane, not yet')?.gain.mean as number
    expect(own(scored.thin)).toBeGreaterThan(own(scored.thick))
  })

  test('said what came: nearly all bins of the reliability picture hold what was said', () => {
    const { bins } = scored.all
    expect(bins.length).toBeGreaterThan(5)
    const off = bins.filter(({ predicted: said, low, high }) => said < low || said > high)
    expect(off.length).toBeLessThanOrEqual(1)
  })
})
