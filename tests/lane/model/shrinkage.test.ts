import { describe, expect, test } from 'vitest'
import { type Fit, fitHazards } from '@/lib/lane/model/fit'
import type { Observation } from '@/lib/lane/model/observation'
import { chanceFrom } from '../../reference/random'
import { drawHazards, drawShipment } from '../drawn'
import { fromTimes, PLAIN } from './observations'

const OWN = ['A to X by road', 'road']
const OTHER = ['B to X by road', 'road']
const BY_AIR = ['A to X by air', 'air']
const OBSERVATIONS = [
  ...fromTimes('0 1 1 2', OWN),
  ...fromTimes('1 2 2 2 2+ 3', OTHER),
  ...fromTimes('0 0 0 1 1 1 1 2 3+ 1+', BY_AIR),
]
const PULLED = { ...PLAIN, weights: [4, 3, 2] }
const sum = (values: Iterable<number>) => [...values].reduce((sum, value) => sum + value, 0)
const closeTo = (actual: Iterable<number>, expected: readonly number[]) =>
  [...actual].forEach((value, index) => {
    expect(value).toBeCloseTo(expected[index] as number, 12)
  })

describe('a group is shrunk to the wider one without it', () => {
  // By hand. Pool: at risk 20, 16, 8, 2; arrived 4, 7, 5, 1: in all 17 of 46. Step 2 is the first with fewer than 10,
  // so from it on the pool's hazard is (6 + 1/2) / (10 + 1).
  const overall = 17.5 / 47
  const tail = 6.5 / 11
  /** Pool without road = air: at risk 10, 7, 2, 1; arrived 3, 4, 1, 0. */
  const air = [(3 + 2 * overall) / 12, (4 + 2 * overall) / 9, tail, tail]
  /** Road without A = B: at risk 6, 6, 5, 1; arrived 0, 1, 3, 1. */
  const b = [
    (0 + 3 * (air[0] as number)) / 9,
    (1 + 3 * (air[1] as number)) / 9,
    (3 + 3 * tail) / 8,
    (1 + 3 * tail) / 4,
  ]

  test('the pool to its one hazard; the tail holds after the last step with 10 at risk', () => {
    const fit = fitHazards(OBSERVATIONS, PULLED)
    expect(fit.last).toBe(3)
    expect(fit.tail.from).toBe(2)
    expect(fit.tail.hazard).toBeCloseTo(tail, 12)
    closeTo(fit.hazards([]), [(4 + 2 * overall) / 22, (7 + 2 * overall) / 18, tail, tail])
  })

  test('a lane to the rest of its service, that to the other services', () => {
    // Own: at risk 4, 3, 1, 0; arrived 1, 2, 1, 0.
    closeTo(fitHazards(OBSERVATIONS, PULLED).hazards(OWN), [
      (1 + 4 * (b[0] as number)) / 8,
      (2 + 4 * (b[1] as number)) / 7,
      (1 + 4 * (b[2] as number)) / 5,
      b[3] as number,
    ])
  })

  test('a lane without data equals its service, or the pool if the service is unknown', () => {
    const fit = fitHazards(OBSERVATIONS, PULLED)
    closeTo(fit.hazards(['C to X by road', 'road']), [...fit.hazards(['road'])])
    closeTo(fit.hazards(['C to X by sea', 'sea']), [...fit.hazards([])])
    expect(fit.hazards(['road'])[0]).not.toBeCloseTo(fit.hazards([])[0] as number, 2)
  })

  test('but less certain, by as much as lanes differ', () => {
    const fit = fitHazards(OBSERVATIONS, PULLED)
    const hazard = fit.hazards(['road'])[0] as number
    const ofService = fit.variances(['road'])[0] as number
    // The law of total variance: a Beta worth 4 around a mean that is itself uncertain.
    const expected = (hazard * (1 - hazard) - ofService) / (4 + 1) + ofService
    expect(fit.variances(['C to X by road', 'road'])[0]).toBeCloseTo(expected, 12)
  })

  test('an infinite weight gives the wider group, weight 0 its own data', () => {
    closeTo(fitHazards(OBSERVATIONS, { ...PLAIN, weights: [1e14, 3, 2] }).hazards(OWN), b)
    const own = fitHazards(OBSERVATIONS, { ...PLAIN, weights: [0, 3, 2] }).hazards(OWN)
    closeTo(own.slice(0, 3), [1 / 4, 2 / 3, 1])
  })

  test('infinite weights at every level give one hazard, and another in the tail', () => {
    const fit = fitHazards(OBSERVATIONS, { ...PLAIN, weights: 1e14 })
    for (const levels of [OWN, OTHER, BY_AIR, [], ['road']])
      closeTo(fit.hazards(levels), [overall, overall, tail, tail])
  })
})

describe('the evidence of an estimate', () => {
  const fit = fitHazards(OBSERVATIONS, PULLED)

  test('is the lane if it has data, with the share borrowed', () => {
    // w / (n + w) at risk 4, 3 and 1 with w = 4.
    const borrowedShare = (4 * (4 / 8) + 3 * (4 / 7) + 1 * (4 / 5)) / 8
    const evidence = fit.evidence(OWN)
    expect(evidence).toMatchObject({ level: OWN[0], arrivals: 4, consignments: 4, unfadedConsignments: 4 })
    expect(evidence.borrowedShare).toBeCloseTo(borrowedShare, 12)
  })

  test('is the service or the pool if it has none, and then all is borrowed', () => {
    expect(fit.evidence(['C', 'road'])).toMatchObject({ level: 'road', consignments: 10, borrowedShare: 1 })
    expect(fit.evidence(['C', 'sea'])).toMatchObject({ level: null, consignments: 20, borrowedShare: 1 })
  })

  test('counts the samples of one consignment as one', () => {
    const three = Array.from(
      { length: 3 },
      () => ({ ...fromTimes('2', OWN)[0], weight: 1 / 3 }) as Observation,
    )
    const together = fitHazards([...OBSERVATIONS, ...three], PULLED)
    const alone = fitHazards([...OBSERVATIONS, ...fromTimes('2', OWN)], PULLED)
    expect(together.evidence(OWN)).toMatchObject({ arrivals: 5, consignments: 5 })
    closeTo(together.hazards(OWN), [...alone.hazards(OWN)])
  })
})

describe('a shipment that has not arrived', () => {
  test('does not count before a step is known', () => {
    const unknown: Observation = {
      levels: ['D', 'road'],
      startedAt: 0,
      steps: -1,
      hasArrived: false,
      weight: 1,
    }
    const fit = fitHazards([...OBSERVATIONS, unknown], PULLED)
    expect(fit.hazards(OWN)).toEqual(fitHazards(OBSERVATIONS, PULLED).hazards(OWN))
    expect(fit.evidence(['D', 'road']).level).toBe('road')
  })

  test('and never will is at risk at every step, so the curve does not reach 0', () => {
    const never: Observation = {
      levels: [],
      startedAt: 0,
      steps: Number.POSITIVE_INFINITY,
      hasArrived: false,
      weight: 1,
    }
    const curve = fitHazards([...fromTimes('1 2 3'), never], PLAIN).curve([])
    expect(curve.map(({ atRisk }) => atRisk)).toEqual([4, 4, 3, 2])
    expect(curve.at(-1)?.notYet).toBeCloseTo(1 / 4, 12)
  })

  test('is presumed lost after 30 steps, and not before', () => {
    const atRiskAt40 = (time: string) =>
      fitHazards(fromTimes(`40 ${time}`), { referenceAt: 0, halfLifeDays: null }).curve([])[40]?.atRisk
    expect(atRiskAt40('30+')).toBe(1)
    expect(atRiskAt40('31+')).toBe(2)
  })
})

describe('hazards are chances, whatever the data', () => {
  const fits: [string, Fit][] = [
    ['nothing', fitHazards([], { referenceAt: 0 })],
    ['nothing, unpulled', fitHazards([], PLAIN)],
    ['one under way', fitHazards(fromTimes('0+', OWN), { referenceAt: 0 })],
    ['one that arrived', fitHazards(fromTimes('0', OWN), { referenceAt: 0 })],
    ['one that arrived, unpulled', fitHazards(fromTimes('3', OWN), PLAIN)],
    ['nine in one step', fitHazards(fromTimes('1 1 1 1 1 1 1 1 1', OWN), { referenceAt: 0 })],
    [
      'what is so old that nothing of it is left',
      fitHazards(OBSERVATIONS, { referenceAt: 1e15, halfLifeDays: 1 }),
    ],
    ['all of it', fitHazards(OBSERVATIONS, { referenceAt: 0 })],
  ]
  test.each(fits)('%s', (_, fit) => {
    for (const levels of [OWN, OTHER, BY_AIR, ['road'], [], ['none', 'known']]) {
      for (const hazard of fit.hazards(levels)) expect(hazard >= 0 && hazard <= 1).toBe(true)
      const variances = [...fit.variances(levels)]
      expect(variances.every((variance) => variance >= 0 && variance < 0.25)).toBe(true)
      for (const { notYet, stdErr } of fit.curve(levels))
        expect(notYet >= 0 && notYet <= 1 && Number.isFinite(stdErr)).toBe(true)
      const [low, high] = fit.interval(levels, fit.last)
      expect(low >= 0 && low <= high && high <= 1).toBe(true)
      expect(
        Number.isFinite(
          sum(Object.values(fit.evidence(levels)).filter((value) => typeof value === 'number')),
        ),
      ).toBe(true)
    }
    expect(fit.tail.hazard > 0 && fit.tail.hazard < 1).toBe(true)
  })

  test('the tail falls as more stay in it without arriving, and never to 0', () => {
    const tails = [1, 3, 9].map((stuck) => {
      const times = ['1 '.repeat(40).trim(), '20+ '.repeat(stuck).trim()].join(' ')
      return fitHazards(fromTimes(times), { referenceAt: 0, halfLifeDays: null }).tail
    })
    expect(tails.map(({ from }) => from)).toEqual([2, 2, 2])
    const hazards = tails.map(({ hazard }) => hazard)
    expect(hazards).toEqual([0.5 / 20, 0.5 / 58, 0.5 / 172])
  })
})

describe('fitted weights', () => {
  const MIDDLE = [0.05, 0.4, 0.5, 0.4, 0.3, 0.3, 0.3]
  /** 60 lanes of 80 shipments, drawn around one middle as by Beta distributions of that weight. */
  const fittedTo = (weight: number, seed: number) => {
    const chance = chanceFrom(seed)
    const observations = Array.from({ length: 60 }, (_, lane) => {
      const hazards = drawHazards(MIDDLE, weight, chance)
      return Array.from({ length: 80 }, () => drawShipment({ levels: [`lane ${lane}`], hazards }, chance))
    }).flat()
    return fitHazards(observations, { referenceAt: 0, halfLifeDays: null }).weights[0] as number
  }

  test.each([
    [3, 1],
    [10, 2],
    [40, 3],
  ])('recover a spread between lanes worth %i shipments to within a factor of 2', (weight, seed) => {
    expect(fittedTo(weight, seed)).toBeGreaterThan(weight / 2)
    expect(fittedTo(weight, seed)).toBeLessThan(weight * 2)
  })

  test('are high for equal lanes, and at their minimum for lanes with nothing in common', () => {
    expect(fittedTo(1e6, 4)).toBeGreaterThan(150)
    expect(fittedTo(1e6, 4)).toBeLessThanOrEqual(1000.000001)
    const apart = ['0', '6'].flatMap((step, lane) =>
      fromTimes(`${step} `.repeat(500).trim(), [`lane ${lane}`]),
    )
    expect(fitHazards(apart, { referenceAt: 0, halfLifeDays: null }).weights[0]).toBeCloseTo(0.5, 6)
  })

  test('give the same fit when passed back', () => {
    const fit = fitHazards(OBSERVATIONS, { referenceAt: 0, halfLifeDays: null })
    const again = fitHazards(OBSERVATIONS, { referenceAt: 0, halfLifeDays: null, weights: fit.weights })
    expect(again.hazards(OWN)).toEqual(fit.hazards(OWN))
  })

  test('are refused if too few or none', () => {
    for (const weights of [[1, 2], [1, 2, -1], Number.NaN])
      expect(() => fitHazards(OBSERVATIONS, { ...PLAIN, weights })).toThrow(
        /one for each level and one for the pool/,
      )
  })
})

test.each([
  { steps: 1.5 },
  { steps: -2 },
  { steps: Number.NaN },
  { steps: Number.POSITIVE_INFINITY, hasArrived: true },
  { steps: -1, hasArrived: true },
  { weight: 0 },
  { weight: 2 },
])('an observation that no shipment can have is refused: %o', (wrong) => {
  const observation = { ...(fromTimes('1+')[0] as Observation), ...wrong }
  expect(() => fitHazards([observation], PLAIN)).toThrow(RangeError)
})
