import jStat from 'jstat'
import { describe, expect, test } from 'vitest'
import { fitHazards } from '@/lib/lane/model/fit'
import { betaInterval } from '@/lib/lane/model/survivalCurve'
import { chanceFrom } from '@/tests/reference/random'
import { computeNotYet, drawHazards, drawShipment } from './drawn'
import { fromTimes, PLAIN } from './model/observations'

const MIDDLE = [0.05, 0.35, 0.5, 0.4, 0.3, 0.3]

/**
 * The share of lanes and steps whose true chance of being under way lies in its 90 % interval: programmes of 3
 * services with 10 lanes each, `shipments` a lane on average, half of the lanes with few.
 */
function coverage(programmes: number, shipments: number, seed: number): number {
  const chance = chanceFrom(seed)
  let [held, asked] = [0, 0]
  for (let programme = 0; programme < programmes; programme += 1) {
    const lanes = [0, 1, 2].flatMap((service) => {
      const ofService = drawHazards(MIDDLE, 40, chance)
      return Array.from({ length: 10 }, (_, lane) => ({
        levels: [`lane ${lane} of ${service}`, `service ${service}`],
        hazards: drawHazards(ofService, 15, chance),
        count: Math.ceil(shipments * (lane % 2 === 0 ? 0.2 : 1.8)),
      }))
    })
    const observations = lanes.flatMap((lane) =>
      Array.from({ length: lane.count }, () => drawShipment(lane, chance)),
    )
    const fit = fitHazards(observations, { referenceAt: 0, halfLifeDays: null })
    for (const { levels, hazards } of lanes)
      for (const [step, notYet] of computeNotYet(hazards).entries()) {
        const [low, high] = fit.interval(levels, step)
        asked += 1
        if (low <= notYet && notYet <= high) held += 1
      }
  }
  return held / asked
}

describe('the 90 % interval of not having arrived', () => {
  test.each([
    [15, 1],
    [60, 2],
    [250, 3],
  ])('holds the truth 85 to 95 times in 100, with %i shipments a lane', (shipments, seed) => {
    const share = coverage(20, shipments, seed)
    expect(share).toBeGreaterThan(0.85)
    expect(share).toBeLessThan(0.95)
  })

  test('is that of the Beta posterior with one step and nothing borrowed', () => {
    // 7 of 10 came: by the moments of Beta(7, 3) the chance of not coming is Beta(3, 7).
    const [low, high] = fitHazards(fromTimes('0 0 0 0 0 0 0 1 1 1'), PLAIN).interval([], 0)
    expect(low).toBeCloseTo(jStat.beta.inv(0.05, 3, 7), 10)
    expect(high).toBeCloseTo(jStat.beta.inv(0.95, 3, 7), 10)
  })

  test('narrows with more data, widens with the share, and contains the estimate', () => {
    const widths = [1, 4, 16].map((times) => {
      const fit = fitHazards(fromTimes('0 1 1 2 2 3 '.repeat(times).trim()), {
        referenceAt: 0,
        halfLifeDays: null,
      })
      const [low, high] = fit.interval([], 1)
      const [lower, higher] = fit.interval([], 1, 0.99)
      const estimate = fit.curve([])[1]?.notYet as number
      expect([lower, low, estimate, high, higher]).toEqual(
        [lower, low, estimate, high, higher].sort((a, b) => a - b),
      )
      return high - low
    })
    expect(widths).toEqual([...widths].sort((a, b) => b - a))
  })
})

describe('the interval of a Beta by its mean and variance', () => {
  test('is the one of its quantiles', () => {
    const [low, high] = betaInterval(2 / 5, 6 / (25 * 6), 0.9)
    expect(jStat.ibeta(low, 2, 3)).toBeCloseTo(0.05, 8)
    expect(jStat.ibeta(high, 2, 3)).toBeCloseTo(0.95, 8)
  })

  test('is a number for every shape, near 0, near 1, and almost without data', () => {
    for (const mean of [1e-9, 1e-3, 0.01, 0.3, 0.5, 0.99, 0.999, 1 - 1e-9])
      for (const total of [0.01, 0.1, 0.5, 1, 5, 100, 1e5, 1e8])
        for (const share of [0.5, 0.9, 0.95, 0.99]) {
          const [low, high] = betaInterval(mean, (mean * (1 - mean)) / (total + 1), share)
          expect(low >= 0 && low <= high && high <= 1, `${mean} ${total} ${share}: ${low} ${high}`).toBe(true)
        }
  })

  test('is its mean if there is no variance', () => {
    expect(betaInterval(0.3, 0, 0.9)).toEqual([0.3, 0.3])
    expect(betaInterval(0, 0, 0.9)).toEqual([0, 0])
    expect(betaInterval(1, 0, 0.9)).toEqual([1, 1])
  })
})
