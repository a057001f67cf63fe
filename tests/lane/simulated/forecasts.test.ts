import { beforeAll, describe, expect, test } from 'vitest'
import { PLAIN_RULES, type PlainRule } from '@/lib/lane/backtest/plainRules'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'
import { curveIntervals } from './curveIntervals'
import { type Tried, triedForecasts } from './tried'

/**
 * Forecasts of simulated programmes whose chances are all known: lanes with much and little data, two services,
 * late reports, boxes of several samples, losses, closed days. Each programme counts as one observation.
 */
const PROGRAMMES = chooseUsualOrLong({ usual: 10, long: 50 })

/** One programme's mean squared distance from the true chance, by method. */
type Excess = Record<'forecast' | PlainRule, number>

const WHO = ['forecast', ...PLAIN_RULES] as const
const all: Excess[] = []
const thick: Excess[] = []
const covered = { forecasts: 0, held: 0, curves: 0, curvesHeld: 0 }

beforeAll(() => {
  for (let seed = 1; seed <= PROGRAMMES; seed += 1) {
    const tried = triedForecasts(seed)
    all.push(computeExcess(tried))
    thick.push(computeExcess(tried.filter(({ isBusyLane }) => isBusyLane)))
    for (const { low, high, truthByCutoff } of tried) {
      covered.forecasts += 1
      if (low <= truthByCutoff && truthByCutoff <= high) covered.held += 1
    }
    for (const isHeld of curveIntervals(seed)) {
      covered.curves += 1
      if (isHeld) covered.curvesHeld += 1
    }
  }
}, 600_000)

function computeExcess(tried: readonly Tried[]): Excess {
  const weights = tried.reduce((sum, { weight }) => sum + weight, 0)
  const mean = (said: (one: Tried) => number) =>
    tried.reduce((sum, one) => sum + one.weight * (said(one) - one.truth) ** 2, 0) / weights
  const listValues = (who: (typeof WHO)[number]) => (one: Tried) =>
    who === 'forecast' ? one.risk : one.plain[who]
  return Object.fromEntries(WHO.map((who) => [who, mean(listValues(who))])) as Excess
}

/** The mean over programmes with its standard error. */
function over(values: readonly number[]): { mean: number; stdErr: number } {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0)
  return { mean, stdErr: Math.sqrt(squares / (values.length - 1) / values.length) }
}

const lessThan = (excess: readonly Excess[], rule: PlainRule) =>
  over(excess.map((one) => one.forecast - one[rule]))

describe(`over ${PROGRAMMES} simulated programmes, the distance of a forecast from the true chance`, () => {
  test('has a standard error', () => {
    const words = WHO.map((who) => {
      const { mean, stdErr } = over(all.map((one) => one[who]))
      return `${who}: ${mean.toFixed(4)} ± ${stdErr.toFixed(4)}`
    })
    console.info(`Mean excess Brier score over ${all.length} programmes\n  ${words.join('\n  ')}`)
    expect(all).toHaveLength(PROGRAMMES)
    expect(over(all.map(({ forecast }) => forecast)).mean).toBeLessThan(0.006)
  })

  test.each(PLAIN_RULES)('is below that of "%s", by more than two standard errors', (rule) => {
    const { mean, stdErr } = lessThan(all, rule)
    expect(mean).toBeLessThan(-2 * stdErr)
  })

  test.each(PLAIN_RULES)(
    'is on lanes of 200 arrivals no greater than that of "%s" by two of them',
    (rule) => {
      const { mean, stdErr } = lessThan(thick, rule)
      expect(mean).toBeLessThan(2 * stdErr)
    },
  )
})

describe('90 % intervals', () => {
  test('of a risk contain it in 85 to 95 % of cases, given the observation cutoff', () => {
    expect(covered.forecasts).toBeGreaterThan(400 * PROGRAMMES)
    console.info(`Intervals of a risk hold the truth: ${(covered.held / covered.forecasts).toFixed(3)}`)
    expect(covered.held / covered.forecasts).toBeGreaterThan(0.85)
    expect(covered.held / covered.forecasts).toBeLessThan(0.95)
  })

  test('of a lane’s curve contain it in 85 to 95 % of cases', () => {
    console.info(`Intervals of a curve hold the truth: ${(covered.curvesHeld / covered.curves).toFixed(3)}`)
    expect(covered.curvesHeld / covered.curves).toBeGreaterThan(0.85)
    expect(covered.curvesHeld / covered.curves).toBeLessThan(0.95)
  })
})
