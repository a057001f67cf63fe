import { describe, expect, test } from 'vitest'
import { estimatePaceShift } from '@/lib/lane/pace/paceShift'
import { arrival, LANES } from '../evenLanes'

/** Two hundred shipments distributed exactly by the chances, later by `shift`. */
const spread = (chances: readonly number[], shift = 0) =>
  chances.flatMap((chance, step) =>
    Array.from({ length: Math.round(200 * chance) }, () => arrival(0, Math.max(0, step + shift))),
  )

describe('by how many open days one period is later than another', () => {
  for (const [name, chances] of Object.entries(LANES)) {
    test.each([0, 1, 2, 5])(`${name}: all of it later by %d`, (shift) => {
      expect(Math.abs(estimatePaceShift(spread(chances), spread(chances, shift)) - shift)).toBeLessThan(0.15)
    })
  }

  test('earlier is below 0', () => {
    const slow = [0, 0, 0, 0.1, 0.5, 0.3, 0.1]
    expect(estimatePaceShift(spread(slow), spread(slow, -2))).toBeCloseTo(-2, 1)
    expect(estimatePaceShift(spread(slow), spread(slow, -3))).toBeCloseTo(-3, 1)
  })

  test('half of it later by one is between 0 and 1', () => {
    const chances = LANES.skewed as number[]
    const half = [...spread(chances), ...spread(chances, 1)]
    expect(estimatePaceShift(spread(chances), half)).toBeGreaterThan(0.3)
    expect(estimatePaceShift(spread(chances), half)).toBeLessThan(0.7)
  })

  test('one lost box among twenty moves it by less than half a day', () => {
    const chances = LANES['nearly always two days'] as number[]
    const after = [
      ...Array.from({ length: 19 }, () => arrival(0, 2)),
      { ...arrival(0, 2), steps: 30, hasArrived: false },
    ]
    expect(Math.abs(estimatePaceShift(spread(chances), after))).toBeLessThan(0.5)
  })

  test('a shipment under way longer than all before is later by at least that', () => {
    const stuck = Array.from({ length: 10 }, () => ({ ...arrival(0, 9), hasArrived: false }))
    expect(estimatePaceShift(spread([0, 0.2, 0.6, 0.2]), stuck)).toBeGreaterThan(5)
  })

  test('a lost shipment is later by the maximum shift', () => {
    const lost = Array.from({ length: 10 }, () => ({
      ...arrival(0, 0),
      steps: Number.POSITIVE_INFINITY,
      hasArrived: false,
    }))
    expect(estimatePaceShift(spread([0, 0.2, 0.6, 0.2]), lost)).toBe(30)
  })
})
