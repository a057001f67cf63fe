import { describe, expect, test } from 'vitest'
import { computeQuantiles, type Duration } from '@/lib/lane/model/durations'
import { drawsFrom } from '../chance'

const closed = (...lengths: number[]): Duration[] => lengths.map((length) => ({ length, isClosed: true }))
const open = (...lengths: number[]): Duration[] => lengths.map((length) => ({ length, isClosed: false }))

describe('the length that half do not exceed', () => {
  test('of the remissions of Freireich et al. 1963 is 23 weeks under treatment, 8 without', () => {
    const treated = [
      ...closed(6, 6, 6, 7, 10, 13, 16, 22, 23),
      ...open(6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35),
    ]
    expect(computeQuantiles(treated, [0.5, 0.9])).toEqual([23, null])
    const untreated = closed(1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23)
    expect(computeQuantiles(untreated, [0.5])).toEqual([8])
  })

  // Source: NIST/SEMATECH e-Handbook 8.2.1.5: six failures among twenty units, ten still running at 200 h.
  test('is not reached if most are still open', () => {
    const units = [
      ...closed(10, 32, 56, 98, 122, 181),
      ...open(50, 100, 125, 150),
      ...open(...Array(10).fill(200)),
    ]
    expect(computeQuantiles(units, [0.1, 0.25, 0.5])).toEqual([32, 122, null])
  })

  test('is reached exactly despite rounding', () => {
    const ten = closed(1, 2, 3, 4, 5, 6, 7, 8, 9, 10)
    const tenths = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1]
    expect(computeQuantiles(ten, tenths)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10])
  })

  test('is null without durations', () => expect(computeQuantiles([], [0.5])).toEqual([null]))
  test('is null for one that never ends', () => {
    expect(computeQuantiles(open(Number.POSITIVE_INFINITY), [0.5])).toEqual([null])
  })
})

/**
 * Efron's redistribute-to-the-right form of the same estimate: an open duration hands its weight on to all
 * longer ones in equal parts.
 */
function byHandingOn(durations: readonly Duration[], share: number): number | null {
  const line = [...durations].sort((a, b) => a.length - b.length || Number(b.isClosed) - Number(a.isClosed))
  const weights = line.map(() => 1 / line.length)
  let over = 0
  for (const [index, { length, isClosed }] of line.entries()) {
    const weight = weights[index] as number
    if (isClosed) over += weight
    else {
      const rest = line.length - index - 1
      for (let later = index + 1; later < line.length; later += 1)
        weights[later] = (weights[later] as number) + weight / rest
    }
    const isLastOfTie = !(line[index + 1]?.isClosed && line[index + 1]?.length === length)
    if (isClosed && isLastOfTie && over >= share - 1e-9) return length
  }
  return null
}

test('1,000 random sets with many ties agree with redistributing the weight of open ones', () => {
  const draws = drawsFrom(58)
  let missing = 0
  for (let set = 0; set < 1000; set += 1) {
    const durations = Array.from({ length: 1 + draws.whole(40) }, () => ({
      length: draws.whole(12),
      isClosed: draws.whole(3) > 0,
    }))
    const expected = [0.5, 0.9].map((share) => byHandingOn(durations, share))
    missing += expected.filter((length) => length === null).length
    expect(computeQuantiles(durations, [0.5, 0.9]), JSON.stringify(durations)).toEqual(expected)
  }
  // Both kinds of answer occur, so both are checked.
  expect(missing).toBeGreaterThan(100)
  expect(missing).toBeLessThan(1900)
})
