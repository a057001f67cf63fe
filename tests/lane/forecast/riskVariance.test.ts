import { describe, expect, test } from 'vitest'
import { computeForecast } from '@/lib/lane/forecast/forecast'
import { findRemainingPath, type RemainingPath } from '@/lib/lane/forecast/remainingPath'
import { computeRiskVariance } from '@/lib/lane/forecast/riskVariance'
import type { Journey } from '@/lib/lane/model/journey'
import type { Leg } from '@/lib/lane/model/leg'
import { betaInterval } from '@/lib/lane/model/survivalCurve'
import { buildTestModel, journey, lanePlaces, ms, running } from '../lanes'

const NOW = '2026-09-15T13:30:00Z'
const at = (week: number, days: number, hours: number) =>
  new Date(Date.UTC(2026, 6, 6 + 7 * week + days, hours)).toISOString()

/** Eight samples by road and four by air, from their cut to the chamber; a pickup at noon in Lisbon. */
const past: Journey[] = Array.from({ length: 12 }, (_, index) => {
  const dispatched = index % 2
  const received = dispatched + 1 + (index % 3)
  const service = index % 3 === 0 ? 'air' : 'road'
  const parts = { collected: at(index % 8, 0, 8), dispatched: at(index % 8, dispatched, 10 + (index % 4)) }
  return journey({
    ...parts,
    service,
    received: at(index % 8, received, 14),
    loaded: at(index % 8, received + (index % 2), 18),
  })
})
const PICKUPS = {
  'P1 road': [null, 720, 720, 720, 720, 720, null],
  'P1 air': [null, 720, null, 720, null, 720, null],
}
const OPTIONS = { weights: 2, halfLifeDays: null, presumedLostSteps: 8 }
const cut = journey({ collected: '2026-09-14T08:00:00Z', service: null })
const clock = running('loaded', '2026-09-14T08:00:00Z', '2026-09-18T17:00:00Z')

function path(): RemainingPath {
  const model = buildTestModel(past, NOW, lanePlaces({ pickups: PICKUPS }), OPTIONS)
  return findRemainingPath(clock, cut, model, ms(NOW)) as RemainingPath
}

/** Every leg of every chain, grouped by shared hazards. */
function listLegs(one: RemainingPath): Leg[][] {
  const legs = new Map<string, Leg[]>()
  for (const { chain } of one.weightedChains)
    for (const leg of chain.legs) {
      const key = JSON.stringify([leg.stage, leg.levels])
      legs.set(key, [...(legs.get(key) ?? []), leg])
    }
  return [...legs.values()]
}

test('the derivatives of the risk agree with small changes of each hazard', () => {
  const word = path().cutoffAt(ms(NOW))
  const base = listLegs(path())
  expect(base).toHaveLength(4)
  let variance = 0
  for (const [index, legs] of base.entries())
    for (let step = 0; step < (legs[0] as Leg).hazards.length; step += 1) {
      const moved = (by: number) => {
        // A fresh model each time, because values derived from a hazard are cached.
        const fresh = path()
        for (const { hazards } of new Set(listLegs(fresh)[index]))
          hazards[step] = (hazards[step] as number) + by
        return fresh.riskAt(word)
      }
      const slope = (moved(1e-5) - moved(-1e-5)) / 2e-5
      variance += slope ** 2 * ((legs[0] as Leg).variances[step] as number)
    }
  expect(variance).toBeGreaterThan(0.001)
  expect(computeRiskVariance(path(), word) / variance).toBeCloseTo(1, 6)
})

describe('the interval of the risk', () => {
  const forecastFrom = (journeys: Journey[]) =>
    computeForecast(
      clock,
      cut,
      buildTestModel(journeys, NOW, lanePlaces(), OPTIONS),
      ms('2026-09-14T09:00:00Z'),
    )

  test('is the Beta of that mean and variance, and contains the risk', () => {
    const one = path()
    const found = computeForecast(
      clock,
      cut,
      buildTestModel(past, NOW, lanePlaces({ pickups: PICKUPS }), OPTIONS),
      ms(NOW),
    )
    const word = one.cutoffAt(ms(NOW))
    const [low, high] = betaInterval(one.riskAt(word), computeRiskVariance(one, word), 0.9)
    expect([found?.low, found?.high]).toEqual([low, high])
    expect(found?.risk).toBeGreaterThan(low)
    expect(found?.risk).toBeLessThan(high)
  })

  test('narrows with more data', () => {
    const width = (journeys: Journey[]) => {
      const found = forecastFrom(journeys)
      return (found?.high ?? 0) - (found?.low ?? 0)
    }
    const times = (count: number) => Array.from({ length: count }, () => past).flat()
    expect(width(times(40))).toBeLessThan(0.5 * width(times(5)))
    expect(width(times(5))).toBeGreaterThan(0)
  })
})
