import { describe, expect, test } from 'vitest'
import { computeReliability } from '@/lib/lane/backtest/reliability'
import { brierScore, clusteredMean, compare, type Prediction } from '@/lib/lane/backtest/score'

const said = (chance: number, isLate: boolean, cluster: string, weight = 1): Prediction => ({
  chance,
  isLate,
  weight,
  cluster,
  consignment: `${cluster} ${chance}`,
})

describe('a clustered mean', () => {
  test('with one value per cluster has the standard error of a mean', () => {
    const values = [1, 2, 4, 9].map((value) => ({ value, weight: 1, cluster: String(value) }))
    const { mean, stdErr } = clusteredMean(values)
    expect(mean).toBe(4)
    // Sample variance 38/3 over 4 values.
    expect(stdErr).toBeCloseTo(Math.sqrt(38 / 3 / 4), 12)
  })

  test('counts values of one cluster that err together as one', () => {
    const values = [1, 2, 4, 9].map((value) => ({ value, weight: 1, cluster: String(value) }))
    const repeated = values.flatMap((one) => [one, one, one])
    expect(clusteredMean(repeated)).toEqual({ mean: 4, stdErr: expect.closeTo(Math.sqrt(38 / 3 / 4), 12) })
  })

  test('has no standard error from one cluster', () => {
    expect(clusteredMean([{ value: 3, weight: 1, cluster: 'a' }])).toEqual({ mean: 3, stdErr: null })
  })

  test('weighs', () => {
    expect(
      clusteredMean([
        { value: 0, weight: 1, cluster: 'a' },
        { value: 4, weight: 3, cluster: 'b' },
      ]).mean,
    ).toBe(3)
  })
})

describe('scores', () => {
  const past = [said(0.1, false, 'a'), said(0.8, true, 'b'), said(0.3, true, 'c')]

  test('are squared differences from the outcome', () => {
    expect(brierScore(past).mean).toBeCloseTo((0.01 + 0.04 + 0.49) / 3, 12)
  })

  test('compare two forecasts of the same outcomes', () => {
    const better = compare(past, [0.5, 0.5, 0.5])
    expect(better).toMatchObject({ nearer: 'ours', isBeyondChance: false })
    expect(better.skill).toBeCloseTo(1 - 0.18 / 0.25, 12)
    expect(better.gain.mean).toBeCloseTo(0.07, 12)
    expect(compare(past, [0, 1, 1])).toMatchObject({ nearer: 'other', skill: null })
    expect(compare(past, [0.1, 0.8, 0.3])).toMatchObject({
      nearer: 'neither',
      skill: 0,
      isBeyondChance: false,
    })
  })

  test('tell a difference from chance', () => {
    const many = Array.from({ length: 60 }, (_, index) =>
      said(index % 2 ? 0.9 : 0.1, index % 2 === 1, `${index}`),
    )
    const flat = many.map(() => 0.5)
    expect(compare(many, flat)).toMatchObject({ nearer: 'ours', isBeyondChance: true })
  })
})

describe('reliability', () => {
  test('puts each forecast into one bin', () => {
    const chances = [0, 0.019, 0.02, 0.05, 0.5, 0.95, 1]
    const bins = computeReliability(chances.map((chance, index) => said(chance, false, `${index}`)))
    expect(bins.map(({ from, to, forecasts }) => [from, to, forecasts])).toEqual([
      [0, 0.02, 2],
      [0.02, 0.05, 1],
      [0.05, 0.1, 1],
      [0.5, 0.65, 1],
      [0.95, 1, 2],
    ])
  })

  test('gives the share late its Wilson interval', () => {
    // 10 of 40: Wilson's 90 % interval by hand, z = 1.6448536.
    const forty = Array.from({ length: 40 }, (_, index) => said(0.25, index < 10, `${index}`))
    const [bin] = computeReliability(forty)
    expect(bin).toMatchObject({ forecasts: 40, consignments: 40 })
    expect(bin?.observed).toBe(0.25)
    expect(bin?.low).toBeCloseTo(0.1557, 4)
    expect(bin?.high).toBeCloseTo(0.376, 4)
  })

  test('is as uncertain of ten samples of one shipment as of one', () => {
    const apart = computeReliability(
      Array.from({ length: 10 }, (_, index) => said(0.3, false, `${index}`)),
    )[0]
    const together = computeReliability(Array.from({ length: 10 }, () => said(0.3, false, 'one')))[0]
    expect(apart?.effective).toBe(10)
    expect(together?.effective).toBe(1)
    expect(together?.high).toBeGreaterThan(apart?.high ?? 1)
  })
})
