import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { DAY } from '@/lib/hold/zone'
import { type Fit, type FitOptions, fitHazards } from '@/lib/lane/model/fit'
import type { Observation } from '@/lib/lane/model/observation'

const NOW = Date.UTC(2026, 10, 25)
const SERVICES = ['road', 'air']
const LANES = ['A', 'B', 'C']

const observation: fc.Arbitrary<Observation> = fc
  .record({
    lane: fc.constantFrom(...LANES),
    service: fc.constantFrom(...SERVICES),
    daysAgo: fc.integer({ min: 0, max: 900 }),
    steps: fc.oneof(fc.integer({ min: -1, max: 35 }), fc.constant(Number.POSITIVE_INFINITY)),
    hasArrived: fc.boolean(),
    together: fc.integer({ min: 1, max: 12 }),
  })
  .map(({ lane, service, daysAgo, steps, hasArrived, together }) => ({
    levels: [`${lane} by ${service}`, service],
    startedAt: NOW - daysAgo * DAY,
    steps,
    hasArrived: hasArrived && steps >= 0 && Number.isFinite(steps),
    weight: 1 / together,
  }))

const options = fc.record({
  referenceAt: fc.constant(NOW),
  weights: fc.constantFrom(0, 1, 20),
  halfLifeDays: fc.constantFrom(null, 120, 365),
})
const GROUPS = [
  [],
  ...SERVICES.map((service) => [service]),
  ...LANES.flatMap((lane) => SERVICES.map((service) => [`${lane} by ${service}`, service])),
]

/** Everything a fit returns for all groups, as numbers. */
function listValues(fit: Fit): number[] {
  return GROUPS.flatMap((levels) => {
    const { arrivals, consignments, unfadedConsignments, borrowedShare } = fit.evidence(levels)
    const [low, high] = fit.interval(levels, 5)
    const curve = fit
      .curve(levels)
      .flatMap(({ atRisk, arrived, notYet, stdErr }) => [atRisk, arrived, notYet, stdErr])
    const hazards = [...fit.hazards(levels), ...fit.variances(levels)]
    return [
      fit.last,
      arrivals,
      consignments,
      unfadedConsignments,
      borrowedShare,
      low,
      high,
      ...curve,
      ...hazards,
    ]
  })
}

function expectSame(one: Fit, other: Fit): void {
  const [ones, others] = [listValues(one), listValues(other)]
  expect(ones).toHaveLength(others.length)
  const apart = ones.map((value, index) => Math.abs(value - (others[index] as number)))
  expect(Math.max(...apart.map((difference) => (Number.isNaN(difference) ? 1 : difference)))).toBeLessThan(
    1e-7,
  )
}

const RUNS = { numRuns: 200 }

describe('a fit is the sum of what it was given', () => {
  test('adding one equals fitting with it, in any order', () => {
    fc.assert(
      fc.property(fc.array(observation, { maxLength: 40 }), observation, options, (many, one, given) => {
        // An empty fit knows no level yet; a single weight applies to those that come.
        const added = fitHazards(many, given)
        added.add(one)
        expectSame(added, fitHazards([one, ...many], given))
      }),
      RUNS,
    )
  })

  test('adding and removing one changes nothing', () => {
    fc.assert(
      fc.property(fc.array(observation, { maxLength: 40 }), observation, options, (many, one, given) => {
        const fit = fitHazards(many, given)
        fit.add(one)
        fit.remove(one)
        expectSame(fit, fitHazards(many, given))
      }),
      RUNS,
    )
  })

  test('counts of whole shipments stay whole numbers', () => {
    const third = (steps: number): Observation[] =>
      Array.from({ length: 3 }, () => ({
        levels: ['A'],
        startedAt: NOW,
        steps,
        hasArrived: true,
        weight: 1 / 3,
      }))
    const fit = fitHazards(Array.from({ length: 3000 }, (_, n) => third(n % 4)).flat(), {
      referenceAt: NOW,
      halfLifeDays: null,
    })
    const curve = fit.curve(['A'])
    expect(curve.slice(0, 4).map(({ atRisk, arrived }) => [atRisk, arrived])).toEqual([
      [3000, 750],
      [2250, 750],
      [1500, 750],
      [750, 750],
    ])
    expect(fit.evidence(['A'])).toMatchObject({
      arrivals: 3000,
      consignments: 3000,
      unfadedConsignments: 3000,
    })
  })
})

describe('the past fades', () => {
  const old: Observation = {
    levels: ['A by road', 'road'],
    startedAt: NOW - 90 * DAY,
    steps: 2,
    hasArrived: true,
    weight: 1,
  }
  const fading: FitOptions = { referenceAt: NOW, weights: 1, halfLifeDays: 90 }

  test('to half in a half-life, a quarter in two, and stays known as one shipment', () => {
    const fit = fitHazards([old], fading)
    expect(fit.evidence(old.levels)).toMatchObject({
      consignments: 0.5,
      arrivals: 0.5,
      unfadedConsignments: 1,
    })
    fit.moveTo(NOW + 90 * DAY)
    expect(fit.evidence(old.levels)).toMatchObject({
      consignments: 0.25,
      arrivals: 0.25,
      unfadedConsignments: 1,
    })
  })

  test('with the reference date, as in a fit at that date', () => {
    fc.assert(
      fc.property(
        fc.array(observation, { maxLength: 40 }),
        fc.integer({ min: -500, max: 5000 }),
        (many, days) => {
          const referenceAt = NOW + days * DAY
          const moved = fitHazards(many, fading)
          moved.moveTo(referenceAt)
          expectSame(moved, fitHazards(many, { ...fading, referenceAt }))
        },
      ),
      RUNS,
    )
  })

  test('over a span beyond the range of a double, as in a fit at the end of it', () => {
    const steps = [...Array(30).keys()]
    const years = steps.map((year) => ({
      ...old,
      steps: year % 4,
      startedAt: Date.UTC(1990 + year, 0, 1),
    }))
    const referenceAt = Date.UTC(2020, 0, 1)
    const begun = fitHazards([], { referenceAt: Date.UTC(1990, 0, 1), weights: 1, halfLifeDays: 5 })
    for (const one of years) begun.add(one)
    begun.moveTo(referenceAt)
    expectSame(begun, fitHazards(years, { referenceAt, weights: 1, halfLifeDays: 5 }))
    expect(begun.evidence(old.levels).unfadedConsignments).toBe(30)
  })

  test('so the latest pace counts most', () => {
    const paced = (daysAgo: number, steps: number) =>
      Array.from({ length: 20 }, () => ({ ...old, startedAt: NOW - daysAgo * DAY, steps }))
    const observations = [...paced(720, 1), ...paced(10, 4)]
    const notYetBy3 = (halfLifeDays: number | null) =>
      fitHazards(observations, { ...fading, halfLifeDays }).curve(old.levels)[3]?.notYet as number
    expect(notYetBy3(null)).toBeLessThan(0.55)
    expect(notYetBy3(90)).toBeGreaterThan(0.85)
  })
})
