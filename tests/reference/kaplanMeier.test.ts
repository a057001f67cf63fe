import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, test } from 'vitest'
import { fitHazards } from '@/lib/lane/model/fit'
import type { CurveStep } from '@/lib/lane/model/survivalCurve'
import { fromTimes, PLAIN } from '../lane/model/observations'

const fitCurve = (times: string): CurveStep[] => fitHazards(fromTimes(times), PLAIN).curve([])
const at = (curve: CurveStep[], step: number) => curve[step] as CurveStep
/** The first step by whose end at least half have had the event; null where that is not reached. */
const median = (curve: CurveStep[]) => curve.find(({ notYet }) => notYet <= 0.5)?.step ?? null

// Source: E. J. Freireich and others, The effect of 6-mercaptopurine on the duration of steroid-induced remissions in
// acute leukemia, Blood 21 (1963) 699-716; weeks in remission, 21 patients on 6-MP and 21 on placebo.
const SIX_MP = '6 6 6 6+ 7 9+ 10 10+ 11+ 13 16 17+ 19+ 20+ 22 23 25+ 32+ 32+ 34+ 35+'
const PLACEBO = '1 1 2 2 3 4 4 5 5 8 8 8 8 11 11 12 12 15 17 22 23'

describe('the curve of the 6-MP trial', () => {
  // The published table, to its three decimals.
  test.each([
    [6, 0.857, 0.076],
    [7, 0.807, 0.087],
    [10, 0.753, 0.096],
    [13, 0.69, 0.107],
    [16, 0.627, 0.114],
    [22, 0.538, 0.128],
    [23, 0.448, 0.135],
  ])('at week %i is the published %f with standard error %f', (week, survival, stdErr) => {
    const row = at(fitCurve(SIX_MP), week)
    expect(row.notYet.toFixed(3)).toBe(survival.toFixed(3))
    expect(row.stdErr.toFixed(3)).toBe(stdErr.toFixed(3))
  })

  // Source: survfit of R's package survival 3.5-3, its table printed to 15 digits as km-6mp.csv.
  test('is that of R at every distinct week, counts and standard errors too', () => {
    const path = fileURLToPath(new URL('km-6mp.csv', import.meta.url))
    const [, ...rows] = readFileSync(path, 'utf8').trimEnd().split('\n')
    expect(rows).toHaveLength(16)
    const curve = fitCurve(SIX_MP)
    for (const row of rows) {
      const [week, atRisk, events, survival, stdErr] = row.split(',').map(Number) as [
        number,
        number,
        number,
        number,
        number,
      ]
      const ours = at(curve, week)
      expect([ours.atRisk, ours.arrived]).toEqual([atRisk, events])
      expect(Math.abs(ours.notYet - survival)).toBeLessThan(1e-14)
      expect(Math.abs(ours.stdErr - stdErr)).toBeLessThan(1e-14)
    }
  })

  test('has its median at week 23, and that of the placebo at week 8', () => {
    expect(median(fitCurve(SIX_MP))).toBe(23)
    expect(median(fitCurve(PLACEBO))).toBe(8)
  })

  test('without censoring is the share still in remission, with the binomial standard error', () => {
    const weeks = PLACEBO.split(' ').map(Number)
    for (const { step, notYet, stdErr } of fitCurve(PLACEBO)) {
      const share = weeks.filter((week) => week > step).length / weeks.length
      expect(notYet).toBeCloseTo(share, 14)
      expect(stdErr).toBeCloseTo(Math.sqrt((share * (1 - share)) / weeks.length), 14)
    }
  })
})

describe('the curve of twenty units on test', () => {
  // Source: NIST/SEMATECH e-Handbook of Statistical Methods, 8.2.1.5: hours to failure, units removed, ten left at 200 h.
  const tenLeft = Array<string>(10).fill('200+').join(' ')
  const curve = fitCurve(`10 32 50+ 56 98 100+ 122 125+ 150+ 181 ${tenLeft}`)

  test.each([
    [10, '0.9500'],
    [32, '0.9000'],
    [56, '0.8471'],
    [98, '0.7941'],
    [122, '0.7374'],
    [181, '0.6704'],
  ])('after %i h is %s', (hour, survival) => expect(at(curve, hour).notYet.toFixed(4)).toBe(survival))

  test('does not reach its median', () => {
    expect(median(curve)).toBeNull()
    expect(at(curve, 200).notYet).toBe(at(curve, 181).notYet)
  })
})

// Source: M. Greenwood, The natural duration of cancer (1926): Var S = S^2 sum d / (n (n - d)). By hand: of 5, one event
// at 1; of 4, one at 2 beside one censored there; of 2, one at 3. S = 4/5, 3/5, 3/10; sums 1/20, 2/15, 19/30.
test('one censored at the time of an event was still at risk there, and Greenwood counts it so', () => {
  const curve = fitCurve('1 2 2+ 3 4+')
  expect(curve.slice(1, 4).map(({ atRisk, arrived }) => [atRisk, arrived])).toEqual([
    [5, 1],
    [4, 1],
    [2, 1],
  ])
  for (const [step, survival, sum] of [
    [1, 4 / 5, 1 / 20],
    [2, 3 / 5, 2 / 15],
    [3, 3 / 10, 19 / 30],
  ] as const) {
    expect(at(curve, step).notYet).toBeCloseTo(survival, 15)
    expect(at(curve, step).stdErr).toBeCloseTo(survival * Math.sqrt(sum), 15)
  }
})
