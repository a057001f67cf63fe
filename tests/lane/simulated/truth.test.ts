import { expect, test } from 'vitest'
import { DAY } from '@/lib/hold/zone'
import { backtestSync, type Forecaster } from '@/lib/lane/backtest/backtest'
import { clusteredMean } from '@/lib/lane/backtest/score'
import { computeScoreboard } from '@/lib/lane/backtest/scoreboard'
import { type SimulatedProgramme, simulatedProgramme } from './programme'
import { trueChance } from './truth'

/** Returns the true chance. */
const knowTruth =
  ({ findLane }: SimulatedProgramme): (() => Forecaster) =>
  () =>
  ({ limit, dueAt }, journey, known, at) => {
    const risk = trueChance(findLane(journey), limit, dueAt as number, { known, at })
    return { risk, low: risk, high: risk }
  }

test('the true chance of simulated programmes is calibrated, and no plain rule is more accurate', () => {
  const forecasts = [1, 2, 3].flatMap((seed) => {
    const programme = simulatedProgramme(seed)
    const since = programme.now - 120 * DAY
    return backtestSync(programme.subjects, programme.places, programme.now, knowTruth(programme), {
      since,
    }).forecasts.map((forecast) => ({ ...forecast, cluster: `${seed} ${forecast.cluster}` }))
  })
  const { mean, stdErr } = clusteredMean(
    forecasts.map(({ risk, isLate, ...one }) => ({ ...one, value: (isLate ? 1 : 0) - risk })),
  )
  expect(Math.abs(mean)).toBeLessThan(2.6 * (stdErr as number))
  const { overall } = computeScoreboard(forecasts)
  expect(overall?.rules.map(({ rule, nearer, isBeyondChance }) => [rule, nearer, isBeyondChance])).toEqual(
    overall?.rules.map(({ rule }) => [rule, 'ours', true]),
  )
  // Large bins, so that a wrong account of what was known would show.
  const large = overall?.bins.filter(({ effective }) => effective > 100) ?? []
  expect(large.length).toBeGreaterThan(4)
  const off = large.filter(({ predicted, low, high }) => predicted < low || predicted > high)
  expect(off.length).toBeLessThan(large.length / 3)
})

test('a seed gives the same programme each time, and another seed another one', () => {
  expect(simulatedProgramme(7).subjects).toEqual(simulatedProgramme(7).subjects)
  expect(simulatedProgramme(7).subjects).not.toEqual(simulatedProgramme(8).subjects)
})
