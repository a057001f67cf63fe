import { describe, expect, test } from 'vitest'
import { DAY } from '@/lib/hold/zone'
import { fitHazards } from '@/lib/lane/model/fit'
import { fitHalfLife, HALF_LIVES } from '@/lib/lane/model/halfLife'
import type { Observation } from '@/lib/lane/model/observation'
import { fitWeights } from '@/lib/lane/model/weightFit'
import { chanceFrom } from '../../reference/random'
import { drawShipment } from '../drawn'

const BEGIN = Date.UTC(2023, 0, 1)
const QUICK = [0.1, 0.6, 0.7, 0.6, 0.5, 0.5]
const SLOW = [0.02, 0.15, 0.3, 0.4, 0.4, 0.4]

/**
 * Three years of one shipment a day over four lanes, with the hazards that `at` gives for a day since the
 * start.
 */
function threeYears(at: (day: number) => readonly number[], seed: number): Observation[] {
  const chance = chanceFrom(seed)
  return Array.from({ length: 1095 }, (_, day) => {
    const levels = [`lane ${chance.whole(4)}`]
    return drawShipment({ levels, hazards: at(day), startedAt: BEGIN + day * DAY }, chance)
  })
}

const chooseHalfLife = (observations: Observation[]) => fitHalfLife(observations, 30, fitWeights)

describe('the past fades', () => {
  test('if the pace turns every year, with a gain well beyond its error', () => {
    const turning = threeYears((day) => (Math.floor(day / 365) % 2 === 0 ? QUICK : SLOW), 1)
    const { days, gain, stdErr } = chooseHalfLife(turning)
    expect(days).toBe(HALF_LIVES[0])
    expect(gain).toBeGreaterThan(5 * stdErr)
    expect(fitHazards(turning, { referenceAt: BEGIN + 1095 * DAY }).halfLifeDays).toBe(days)
  })

  test('not if nothing changes: at most 2 of 20 such pasts fade', () => {
    const choices = Array.from({ length: 20 }, (_, seed) =>
      chooseHalfLife(threeYears(() => QUICK, 100 + seed)),
    )
    expect(choices.filter(({ days }) => days !== null).length).toBeLessThanOrEqual(2)
  })

  test('not if there is too little data', () => {
    const few = threeYears((day) => (day < 40 ? QUICK : SLOW), 2).slice(0, 70)
    expect(chooseHalfLife(few)).toEqual({ days: null, gain: 0, stdErr: 0 })
    expect(chooseHalfLife([])).toEqual({ days: null, gain: 0, stdErr: 0 })
  })

  test('not if all began at one time', () => {
    const together = threeYears(() => QUICK, 3).map((observation) => ({ ...observation, startedAt: BEGIN }))
    expect(chooseHalfLife(together).days).toBeNull()
  })

  test('as set', () => {
    const turning = threeYears((day) => (Math.floor(day / 365) % 2 === 0 ? QUICK : SLOW), 1)
    expect(fitHazards(turning, { referenceAt: BEGIN, halfLifeDays: null }).halfLifeDays).toBeNull()
    expect(fitHazards(turning, { referenceAt: BEGIN, halfLifeDays: 400 }).halfLifeDays).toBe(400)
  })
})

test('if it predicts better: the score of the second half, fitted to the first', () => {
  const turning = threeYears((day) => (day < 700 ? QUICK : SLOW), 4)
  const { days, gain } = chooseHalfLife(turning)
  expect(days).not.toBeNull()
  // The score computed separately: each of the last 100 predicted from all before by a fit's hazards.
  const score = (halfLifeDays: number | null) =>
    turning.slice(-100).reduce((sum, { levels, startedAt, steps, hasArrived }) => {
      const fit = fitHazards(
        turning.filter((other) => other.startedAt < BEGIN + 995 * DAY),
        { referenceAt: startedAt, halfLifeDays },
      )
      const hazards = [...fit.hazards(levels)]
      const stayed = hazards.slice(0, hasArrived ? steps : steps + 1).map((hazard) => Math.log(1 - hazard))
      return sum + stayed.reduce((a, b) => a + b, 0) + (hasArrived ? Math.log(hazards[steps] as number) : 0)
    }, 0)
  expect(gain).toBeGreaterThan(0)
  expect(score(days)).toBeGreaterThan(score(null))
})
