import { describe, expect, test } from 'vitest'
import type { Milestone } from '@/lib/hold/milestone'
import { getWeekday, toLocalDay } from '@/lib/hold/zone'
import { computeForecast } from '@/lib/lane/forecast/forecast'
import { computeRisk } from '@/lib/lane/forecast/risk'
import { findKnownAt, type Journey } from '@/lib/lane/model/journey'
import type { Places } from '@/lib/lane/model/places'
import { isReportedByPlant } from '@/lib/lane/model/reporter'
import { listGroupKeys, listRemainingStages, type Stage } from '@/lib/lane/model/stage'
import type { TransitModel } from '@/lib/lane/model/transitModel'
import { type Chance, chanceFrom } from '@/tests/reference/random'
import { getRunSeed } from '@/tests/setup/seed'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'
import { buildTestModel, journey, lanePlaces, running } from './lanes'

const DAY = 86_400_000
const START = Date.UTC(2026, 5, 1)
const MILESTONES: Milestone[] = ['collected', 'dispatched', 'received', 'loaded']
const iso = (at: number) => new Date(at).toISOString()

const ROUNDS = chooseUsualOrLong({ usual: 50, long: 150 })

/** A random past: plants, laboratories, services, days and times, some still open, some ended. */
function randomJourney(chance: Chance, until: number): Journey {
  const times: Partial<Record<Milestone, string>> = {}
  let at = START + chance.whole(90 * DAY)
  const reached = chance.whole(6)
  for (const milestone of MILESTONES.slice(0, reached)) {
    if (at < until) times[milestone] = iso(at)
    at += chance.whole(3) * DAY + chance.whole(DAY / 2)
  }
  return journey({
    ...times,
    plant: chance.pick(['P1', 'P2']),
    laboratory: chance.pick(['L1', 'L2']),
    service: chance.pick(['road', 'air', null]),
    consignment: chance.pick([null, null, 'W1', 'W2', 'W3']),
    delay: chance.whole(40) * 3_600_000,
    ending: chance.whole(12) === 0 ? { kind: 'lost', at, knownAt: at } : null,
  })
}

function randomPlaces(chance: Chance): Places {
  const closed = Array.from({ length: 8 }, () => iso(START + chance.whole(150) * DAY).slice(0, 10))
  const pickup = () =>
    Array.from({ length: 7 }, (_, weekday) =>
      weekday === 3 || chance.whole(2) ? 500 + chance.whole(700) : null,
    )
  const pickups: Record<string, (number | null)[]> = chance.whole(2)
    ? { 'P1 road': pickup(), 'P2 air': pickup() }
    : {}
  return lanePlaces({
    closed,
    pickups,
    weekdays: chance.pick([
      [1, 2, 3, 4, 5],
      [1, 3],
      [2, 3, 4, 5, 6],
    ]),
  })
}

/** One possible future of a sample: the day on which it stops, and its chance. */
interface Path {
  day: number
  chance: number
}

/** Goes through every combination of steps, caching nothing. */
function enumerate(one: Journey, model: TransitModel, places: Places, stop: Milestone, now: number) {
  const { milestones } = findKnownAt(one, now)
  const stages = listRemainingStages((name) => milestones.has(name), stop)
  const services =
    one.service === null && stages[0]?.to === 'dispatched' && stages.length > 1
      ? model.listServices(one.plant, one.laboratory)
      : [{ service: one.service, share: 1 }]
  const paths: Path[] = []
  let [known, never] = [0, 0]
  for (const { service, share } of services) {
    const way = { ...one, service }
    const first = stages[0] as Stage
    const startedAt = milestones.get(first.from)?.earliestAt as number
    const word = findCutoff(first, one, model, now)
    for (const begun of listFirstDays(first, way, startedAt, places))
      for (const step of listSteps(first, way, begun, model, places)) {
        const left = step.chance * share * computeRemaining(word, step.day, first, one, model, startedAt)
        known += left
        walk(stages, 1, way, step.day, left)
      }
    // Shipments that never arrive are left, too.
    const gone = listSteps(first, way, 0, model, places).reduce((sum, { chance }) => sum - chance, 1)
    known += share * gone
    never += share * gone
  }
  return {
    paths: paths.map(({ day, chance }) => ({ day, chance: chance / known })),
    never: never / known,
    known,
  }

  function walk(stages: Stage[], index: number, way: Journey, day: number, chance: number): void {
    const stage = stages[index]
    if (!stage) {
      paths.push({ day, chance })
      return
    }
    let left = chance
    for (const begun of listDispatchDays(stage, way, day, model, places)) {
      for (const step of listSteps(stage, way, begun.day, model, places)) {
        walk(stages, index + 1, way, step.day, chance * begun.share * step.chance)
        left -= chance * begun.share * step.chance
      }
    }
    never += left
  }
}

const findPlace = (stage: Stage, way: Journey) => (isReportedByPlant(stage.to) ? way.plant : way.laboratory)
const findZone = (stage: Stage, way: Journey, places: Places) =>
  isReportedByPlant(stage.to) ? places.plantZone(way.plant) : places.calendar(way.laboratory).zone
const isOpen = (stage: Stage, way: Journey, day: number, places: Places) =>
  isReportedByPlant(stage.to)
    ? ![0, 6].includes(getWeekday(day))
    : places.calendar(way.laboratory).isOpen(day)

function listSteps(stage: Stage, way: Journey, start: number, model: TransitModel, places: Places): Path[] {
  const hazards = [...model.getStage(stage).fit.hazards(listGroupKeys(stage, way))]
  let day = start
  let notYet = 1
  return hazards.map((hazard, step) => {
    if (step > 0)
      do day += 1
      while (!isOpen(stage, way, day, places))
    const chance = notYet * hazard
    notYet *= 1 - hazard
    return { day, chance }
  })
}

function findCutoff(stage: Stage, one: Journey, model: TransitModel, now: number): number {
  const place = findPlace(stage, one)
  return model.cutoffs.getCutoff(stage.to, place, model.placeDays.getDays(stage.to, place)).at(now)
}

/** The share of a day's arrivals that is left after the cutoff. */
function computeRemaining(
  word: number,
  day: number,
  stage: Stage,
  one: Journey,
  model: TransitModel,
  startedAt: number,
) {
  const zone = findZone(stage, one, model.placeDays.places)
  if (toLocalDay(word, zone) !== day) return toLocalDay(word, zone) < day ? 1 : 0
  return 1 - model.times.getTimes(stage.to, findPlace(stage, one)).shareAfter(day, startedAt, word)
}

function findNextPickup(pickups: readonly (number | null)[], day: number): number {
  let next = day + 1
  while ((pickups[getWeekday(next)] ?? null) === null) next += 1
  return next
}

function listFirstDays(stage: Stage, way: Journey, at: number, places: Places): number[] {
  if (!['collected', 'dispatched'].includes(stage.from)) return [toLocalDay(at, findZone(stage, way, places))]
  const zone = places.plantZone(way.plant)
  const day = toLocalDay(at, zone)
  const pickups = stage.from === 'dispatched' ? places.pickups(way.plant, way.service) : null
  if (!pickups) return [day]
  const local = new Date(at).toLocaleTimeString('en-GB', { timeZone: zone })
  const [hours, minutes, seconds] = local.split(':').map(Number) as [number, number, number]
  const pickup = pickups[getWeekday(day)] ?? null
  const isCaught = pickup !== null && hours * 60 + minutes + seconds / 60 <= pickup
  return [isCaught ? day : findNextPickup(pickups, day)]
}

function listDispatchDays(stage: Stage, way: Journey, day: number, model: TransitModel, places: Places) {
  const pickups = stage.from === 'dispatched' ? places.pickups(way.plant, way.service) : null
  if (!pickups) return [{ day, share: 1 }]
  const pickup = pickups[getWeekday(day)] ?? null
  const next = findNextPickup(pickups, day)
  if (pickup === null) return [{ day: next, share: 1 }]
  const share = model.times.getTimes('dispatched', way.plant).shareByMinute(getWeekday(day), pickup)
  return [
    { day, share },
    { day: next, share: 1 - share },
  ]
}

describe('the convolution is what all combinations of steps add up to', () => {
  const seed = getRunSeed()
  test(`in random small cases (seed ${seed})`, () => {
    const chance = chanceFrom(seed)
    let compared = 0
    for (let round = 0; round < ROUNDS; round += 1) {
      const places = randomPlaces(chance)
      const now = START + (60 + chance.whole(40)) * DAY + chance.whole(DAY)
      const past = Array.from({ length: 25 }, () => randomJourney(chance, now))
      const options = { presumedLostSteps: 4, halfLifeDays: 60, ...(chance.whole(2) ? { weights: 0 } : {}) }
      const model = buildTestModel(past, iso(now), places, options)
      for (let sample = 0; sample < 4; sample += 1) {
        const one = randomJourney(chance, now)
        const stop = chance.pick(MILESTONES.slice(1))
        const dueAt = now + 1 + chance.whole(9 * DAY)
        const clock = running(stop, iso(START), iso(dueAt))
        const forecast = computeForecast(clock, one, model, now)
        const risk = computeRisk(clock, one, model, now)
        if (!forecast) {
          expect(risk).toBeNull()
          continue
        }
        const { paths, never, known } = enumerate(one, model, places, stop, now)
        const zone = findZone({ from: 'collected', to: stop }, one, places)
        const dueDay = toLocalDay(dueAt, zone)
        const { milestones } = findKnownAt(one, now)
        const first = listRemainingStages((name) => milestones.has(name), stop)[0] as Stage
        const after = Math.max(
          findCutoff(first, one, model, now),
          milestones.get(first.from)?.earliestAt as number,
        )
        const place = isReportedByPlant(stop) ? one.plant : one.laboratory
        const onDueDay = model.times.getTimes(stop, place).shareAfter(dueDay, after, dueAt)
        let late = never
        const byDay = new Map<number, number>()
        for (const { day, chance } of paths) {
          late += day < dueDay ? 0 : day > dueDay ? chance : chance * (1 - onDueDay)
          byDay.set(day, (byDay.get(day) ?? 0) + chance)
        }
        // Subtracting from 1 cannot tell a chance this small from a rounding error.
        if (known < 1e-3) continue
        compared += 1
        const what = `seed ${seed}, round ${round}: ${JSON.stringify(one)} to ${stop} by ${iso(dueAt)}`
        expect(Math.abs((risk as number) - late), what).toBeLessThan(1e-12)
        expect(Math.abs(forecast.risk - late), what).toBeLessThan(1e-12)
        expect(Math.abs(forecast.never - never), what).toBeLessThan(1e-12)
        for (const { day, chance } of forecast.days)
          expect(Math.abs(chance - (byDay.get(day) ?? 0)), what).toBeLessThan(1e-12)
        expect(forecast.days.length, what).toBe([...byDay.values()].filter((chance) => chance > 0).length)
      }
    }
    expect(compared).toBeGreaterThan(ROUNDS * 0.4)
  })
})
