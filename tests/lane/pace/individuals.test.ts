import { describe, expect, test } from 'vitest'
import { individualsChart } from '@/lib/lane/pace/individuals'

describe('the individuals chart', () => {
  test('by hand: 1, 3, 2 move by 2 and 1', () => {
    const chart = individualsChart([1, 3, 2])
    expect(chart.centre).toBe(2)
    expect(chart.meanMovingRange).toBe(1.5)
    expect(chart.upper - chart.centre).toBeCloseTo((3 * 1.5) / 1.128, 12)
    expect(chart.scores).toEqual([-1.128 / 1.5, 1.128 / 1.5, 0])
  })

  test('a drift does not widen its limits, as a plain standard deviation would', () => {
    const drift = Array.from({ length: 100 }, (_, day) => day)
    expect(individualsChart(drift).sigma).toBeCloseTo(1 / 1.128, 12)
  })

  test('values that never move have limits on their centre, and no score', () => {
    expect(individualsChart([4, 4, 4])).toMatchObject({ lower: 4, upper: 4, scores: [0, 0, 0] })
  })

  test.each([[[]], [[1]], [[1, Number.NaN]], [[1, Number.POSITIVE_INFINITY]]])('refuses %j', (values) => {
    expect(() => individualsChart(values)).toThrow(RangeError)
  })
})
