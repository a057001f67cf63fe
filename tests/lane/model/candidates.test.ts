import { describe, expect, test } from 'vitest'
import { getWeekday } from '@/lib/hold/zone'
import { computeForecast } from '@/lib/lane/forecast/forecast'
import { computeRisk } from '@/lib/lane/forecast/risk'
import type { Journey } from '@/lib/lane/model/journey'
import type { Stage } from '@/lib/lane/model/stage'
import { buildTransitModel } from '@/lib/lane/model/transitModel'
import { type Chance, chanceFrom } from '../../reference/random'
import { journey, lanePlaces, ms, running } from '../lanes'

const DAY = 86_400_000
const LOAD: Stage = { from: 'received', to: 'loaded' }
const NOW = ms('2026-09-14T16:00:00Z')
const iso = (at: number) => new Date(at).toISOString()
const isWorkday = (day: number) => ![0, 6].includes(getWeekday(day))

/**
 * Receipts in the year before; each is loaded on the first workday on which a hazard, which may depend on the
 * day, holds.
 */
function past(
  count: number,
  chance: Chance,
  hazard: (day: number, step: number, left: number) => number,
  parts: { laboratory?: string } = {},
): Journey[] {
  return Array.from({ length: count }, () => {
    let start = Math.floor(NOW / DAY) - 10 - chance.whole(350)
    while (!isWorkday(start)) start += 1
    const left = 2 + chance.whole(6)
    let [day, step] = [start, 0]
    while (chance.whole(10_000) >= 10_000 * hazard(day, step, left - step)) {
      do day += 1
      while (!isWorkday(day))
      step += 1
    }
    let [dueDay, open] = [start, 0]
    while (open < left) {
      dueDay += 1
      if (isWorkday(dueDay)) open += 1
    }
    const loaded = day * DAY + 19 * 3_600_000
    return {
      ...journey({ ...parts, received: iso(start * DAY + 14 * 3_600_000), loaded: iso(loaded) }),
      dueAts: { loaded: dueDay * DAY + 22 * 3_600_000 },
    }
  })
}

const runTrials = (journeys: Journey[]) => {
  const { trials } = buildTransitModel(journeys, lanePlaces(), NOW, { halfLifeDays: null }).getStage(LOAD)
  return Object.fromEntries(trials.map((trial) => [trial.candidate, trial]))
}

describe('a laboratory that loads on Tuesdays and Thursdays only', () => {
  const journeys = past(600, chanceFrom(1), (day) => ([2, 4].includes(getWeekday(day)) ? 0.8 : 0.02))
  const model = buildTransitModel(journeys, lanePlaces(), NOW, { halfLifeDays: null })
  // Received on Monday, 14 September 2026.
  const sample = journey({ received: '2026-09-14T14:00:00Z' })
  const clock = running('loaded', '2026-09-14T14:00:00Z', '2026-09-24T03:59:59.999Z', 'received')

  test('is recognised by its weekdays, with the gain in score', () => {
    const weekday = model.getStage(LOAD).trials.find(({ candidate }) => candidate === 'weekday')
    expect(weekday?.isUsed).toBe(true)
    expect(weekday?.gain).toBeGreaterThan(2 * (weekday?.stdErr as number))
  })

  test('makes a forecast wait for those days', () => {
    const days = computeForecast(clock, sample, model, NOW)?.days ?? []
    const on = (weekday: number) =>
      days.filter(({ day }) => getWeekday(day) === weekday).reduce((sum, { chance }) => sum + chance, 0)
    expect(on(2) + on(4)).toBeGreaterThan(0.85)
    expect(on(1) + on(3) + on(5)).toBeLessThan(0.15)
    // Without candidates, Wednesday has the hazard of its step.
    const plain = buildTransitModel(journeys, lanePlaces(), NOW, { halfLifeDays: null, candidates: false })
    const wednesday = computeForecast(clock, sample, plain, NOW)?.days.find(
      ({ day }) => getWeekday(day) === 3,
    )
    expect(wednesday?.chance).toBeGreaterThan(on(3))
  })

  test('gives consistent risk, days and threshold times', () => {
    const due = running('loaded', '2026-09-14T14:00:00Z', '2026-09-17T03:59:59.999Z', 'received')
    const forecast = computeForecast(due, sample, model, NOW)
    const inTime = (forecast?.days ?? [])
      .filter(({ day }) => day <= Math.floor(ms('2026-09-16T12:00:00Z') / DAY))
      .reduce((sum, { chance }) => sum + chance, 0)
    expect(forecast?.risk).toBeCloseTo(1 - inTime, 12)
    expect(computeRisk(due, sample, model, NOW)).toBeCloseTo(1 - inTime, 12)
    expect(forecast?.low).toBeLessThan(forecast?.risk as number)
    expect(forecast?.high).toBeGreaterThan(forecast?.risk as number)
  })
})

describe('a laboratory that hurries what is about to lapse', () => {
  const hurry = (_day: number, _step: number, left: number) => (left <= 1 ? 0.7 : 0.1)
  const journeys = past(600, chanceFrom(2), hurry)

  test('is recognised by the days left to the due; the first due of a sample counts for all its clocks', () => {
    expect(runTrials(journeys)['open days left to due']?.isUsed).toBe(true)
    const model = buildTransitModel(journeys, lanePlaces(), NOW, { halfLifeDays: null })
    const sample = journey({ received: '2026-09-14T14:00:00Z' })
    const late = running('loaded', '2026-09-14T14:00:00Z', '2026-09-24T03:59:59.999Z', 'received')
    const hurried = { ...sample, dueAts: { loaded: ms('2026-09-16T03:59:59.999Z') } }
    const byTuesday = (one: Journey) =>
      (computeForecast(late, one, model, NOW)?.days ?? [])
        .filter(({ day }) => day <= Math.floor(ms('2026-09-15T12:00:00Z') / DAY))
        .reduce((sum, { chance }) => sum + chance, 0)
    expect(byTuesday(hurried)).toBeGreaterThan(2 * byTuesday(sample))
  })

  test('does not apply to a plant or a lane', () => {
    const sent = journeys.map((one) => ({
      ...one,
      reports: one.reports.map((report) => ({
        ...report,
        milestone: report.milestone === 'received' ? ('dispatched' as const) : ('received' as const),
      })),
      dueAts: { received: one.dueAts?.loaded as number },
    }))
    const { trials } = buildTransitModel(sent, lanePlaces(), NOW, {}).getStage({
      from: 'dispatched',
      to: 'received',
    })
    expect(trials.map(({ candidate }) => candidate).sort()).toEqual(['closed days bridged', 'weekday'])
  })
})

test('worked weekends are recognised by the closed days that a step bridges', () => {
  // A sample received before a weekend waits two days more, and is nearly always loaded on Monday.
  const journeys = past(
    600,
    chanceFrom(3),
    (day, step) => (step > 0 && getWeekday(day) === 1 ? 0.9 : 0.25),
    {},
  )
  const trials = runTrials(journeys)
  expect([trials['closed days bridged']?.isUsed, trials.weekday?.isUsed]).toContain(true)
})

describe('if nothing depends on the day', () => {
  test('a candidate is seldom used, and then changes little', () => {
    let [used, tried] = [0, 0]
    const sample = journey({ received: '2026-09-14T14:00:00Z' })
    const clock = running('loaded', '2026-09-14T14:00:00Z', '2026-09-17T03:59:59.999Z', 'received')
    for (let seed = 10; seed < 40; seed += 1) {
      const journeys = past(300, chanceFrom(seed), () => 0.3)
      const model = buildTransitModel(journeys, lanePlaces(), NOW, { halfLifeDays: null })
      const { trials } = model.getStage(LOAD)
      tried += trials.length
      used += trials.filter(({ isUsed }) => isUsed).length
      const plain = buildTransitModel(journeys, lanePlaces(), NOW, { halfLifeDays: null, candidates: false })
      const [with_, without] = [model, plain].map(
        (one) => computeRisk(clock, sample, one, NOW) as number,
      ) as [number, number]
      expect(Math.abs(with_ - without)).toBeLessThan(0.12)
    }
    expect(tried).toBe(90)
    expect(used).toBeLessThan(20)
  })
})

describe('candidates are not tried', () => {
  test('on a past of fewer than a hundred consignments', () => {
    const some = past(99, chanceFrom(1), () => 0.3)
    expect(buildTransitModel(some, lanePlaces(), NOW, {}).getStage(LOAD).trials).toEqual([])
    // A hundred samples in one box count as one.
    const boxed = past(300, chanceFrom(1), () => 0.3).map((one) => ({ ...one, consignment: 'W1' }))
    expect(buildTransitModel(boxed, lanePlaces(), NOW, {}).getStage(LOAD).trials).toEqual([])
  })

  test('if the weights are set, so that weight 0 is pure Kaplan-Meier', () => {
    const { trials, influences } = buildTransitModel(
      past(300, chanceFrom(1), () => 0.3),
      lanePlaces(),
      NOW,
      {
        weights: 0,
        halfLifeDays: null,
      },
    ).getStage(LOAD)
    expect([trials, influences]).toEqual([[], null])
  })
})
