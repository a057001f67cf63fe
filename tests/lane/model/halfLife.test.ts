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

/** Three years of one shipment a day over four lanes, their hazards as by `at` (days since the beginning). */
function threeYears(at: (day: number) => readonly number[], seed: number): Observation[] {
  const chance = chanceFrom(seed)
  return Array.from({ length: 1095 }, (_, day) => {
    const levels = [`lane ${chance.whole(4)}`]
    return drawShipment({ levels, hazards: at(day), startedAt: BEGIN + day * DAY }, chance)
  })
}

const chooseHalfLife = (observations: Observation[]) => fitHalfLife(observations, 30, fitWeights)

describe('the past fades', () => {
  test('where the pace turns every year, and by a gain well beyond its error', () => {
    const turning = threeYears((day) => (Math.floor(day / 365) % 2 === 0 ? QUICK : SLOW), 1)
    const { days, gain, stdErr } = chooseHalfLife(turning)
    expect(days).toBe(HALF_LIVES[0])
    expect(gain).toBeGreaterThan(5 * stdErr)
    expect(fitHazards(turning, { referenceAt: BEGIN + 1095 * DAY }).halfLifeDays).toBe(days)
  })

  test('not where nothing ever changes: of 20 such pasts at most 2 are taken to fade', () => {
    const choices = Array.from({ length: 20 }, (_, seed) =>
      chooseHalfLife(threeYears(() => QUICK, 100 + seed)),
    )
    expect(choices.filter(({ days }) => days !== null).length).toBeLessThanOrEqual(2)
  })

  test('not where there is too little to tell', () => {
    const few = threeYears((day) => (day < 40 ? QUICK : SLOW), 2).slice(0, 70)
    expect(chooseHalfLife(few)).toEqual({ days: null, gain: 0, stdErr: 0 })
    expect(chooseHalfLife([])).toEqual({ days: null, gain: 0, stdErr: 0 })
  })

  test('not where all began at one time', () => {
    const together = threeYears(() => QUICK, 3).map((observation) => ({ ...observation, startedAt: BEGIN }))
    expect(chooseHalfLife(together).days).toBeNull()
  })

  test('as set, where it is set', () => {
    const turning = threeYears((day) => (Math.floor(day / 365) % 2 === 0 ? QUICK : SLOW), 1)
    expect(fitHazards(turning, { referenceAt: BEGIN, halfLifeDays: null }).halfLifeDays).toBeNull()
    expect(fitHazards(turning, { referenceAt: BEGIN, halfLifeDays: 400 }).halfLifeDays).toBe(400)
  })
})

test('what is foretold better by it: the score of the second half, fitted to the first', () => {
  const turning = threeYears((day) => (day < 700 ? QUICK : SLOW), 4)
  const { days, gain } = chooseHalfLife(turning)
  expect(days).not.toBeNull()
  // The score worked out apart: the last 100, each foretold from all before by the hazards of a fit.
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
