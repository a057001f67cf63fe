import { describe, expect, test } from 'vitest'
import type { Journey } from '@/lib/lane/model/journey'
import { buildTestModel, journey, ms, report } from '../lanes'

const HOUR = 3_600_000
const NOW = '2026-09-16T18:00:00Z'

/** Receipts at a laboratory, one a day from 1 July at 15:00Z, known `hours` later. */
const receipts = (hours: number[], laboratory = 'L1'): Journey[] =>
  hours.map((late, index) => {
    const at = new Date(Date.UTC(2026, 6, 1 + index, 15)).toISOString()
    return { ...journey({ laboratory }), reports: [report('received', at, late * HOUR)] }
  })

const delay = (journeys: Journey[], laboratory = 'L1', now = NOW) => {
  const hours = buildTestModel(journeys, now).cutoffs.getDelay('received', laboratory)
  return hours === null ? null : hours / HOUR
}

describe('the delay of a reporter is the 90th percentile', () => {
  test('ten reports: the ninth by delay', () => {
    expect(delay(receipts([10, 1, 9, 2, 8, 3, 7, 4, 6, 5]))).toBe(9)
    expect(delay(receipts(Array(20).fill(3).fill(50, 18)))).toBe(3)
  })

  test('each laboratory has its own, and each milestone', () => {
    const both = [...receipts(Array(10).fill(2)), ...receipts(Array(10).fill(30), 'L2')]
    expect([delay(both), delay(both, 'L2')]).toEqual([2, 30])
    expect(buildTestModel(both, NOW).cutoffs.getDelay('loaded', 'L1')).toBeNull()
  })

  test('fewer than ten reports are topped up to ten with those of all', () => {
    // L2 has 4 reports of 1 h. All: those 4 and 16 of 20 h; six of ten places are filled with these 20 in equal parts,
    // so 4 + 6 x 4/20 = 5.2 of ten are at 1 h, and the ninth is at 20 h.
    const thin = [...receipts([1, 1, 1, 1], 'L2'), ...receipts(Array(16).fill(20))]
    expect(delay(thin, 'L2')).toBe(20)
    // A laboratory that never reported uses all, of which 16/20 are at 20 h.
    expect(delay(thin, 'L3')).toBe(20)
    // Nine of its own at 1 h make nine of ten.
    expect(delay([...receipts(Array(9).fill(1), 'L2'), ...receipts(Array(16).fill(20))], 'L2')).toBe(1)
  })

  test('a report ahead of its time has no delay, and imported history does not count', () => {
    expect(delay(receipts(Array(10).fill(-5)))).toBe(0)
    expect(delay([...receipts(Array(10).fill(2)), ...receipts(Array(30).fill(24 * 40))])).toBe(2)
  })

  test('unknown reports do not count', () => {
    expect(delay(receipts(Array(10).fill(2)), 'L1', '2026-07-01T16:59:59Z')).toBeNull()
    expect(delay(receipts(Array(10).fill(2)), 'L1', '2026-07-01T17:00:00Z')).toBe(2)
  })
})

describe('the observation cutoff of a reporter', () => {
  const cutoffBy = (journeys: Journey[], now: string) => {
    const model = buildTestModel(journeys, now)
    const days = model.placeDays.getDays('received', 'L1')
    return new Date(model.cutoffs.getCutoff('received', 'L1', days).at(ms(now))).toISOString()
  }

  test('is now if it reports at once, else earlier by its delay', () => {
    expect(cutoffBy(receipts(Array(10).fill(0)), NOW)).toBe('2026-09-16T18:00:00.000Z')
    expect(cutoffBy(receipts(Array(10).fill(20)), NOW)).toBe('2026-09-15T22:00:00.000Z')
  })

  test('a day counts once it is over and the delay has passed', () => {
    const slow = receipts(Array(10).fill(20))
    // Tuesday, 15 September is over in New York at 04:00Z; 20 hours later it counts.
    const end = ms('2026-09-16T04:00:00Z') - 1
    expect(ms(cutoffBy(slow, '2026-09-16T23:59:59Z'))).toBeLessThan(end)
    expect(ms(cutoffBy(slow, '2026-09-17T00:00:00Z'))).toBeGreaterThan(end)
  })

  test('a report of a later day settles all days before that one', () => {
    const slow = receipts(Array(10).fill(100))
    // Wednesday morning's receipt is known, so Tuesday is settled and Wednesday is not.
    const today = { ...journey({}), reports: [report('received', '2026-09-16T13:00:00Z', HOUR)] }
    expect(cutoffBy([...slow, today], NOW)).toBe('2026-09-16T03:59:59.999Z')
    expect(cutoffBy(slow, NOW)).toBe('2026-09-12T14:00:00.000Z')
    // Not if it was wrong, once that is known.
    const slip = { ...today, reports: today.reports.map((one) => ({ ...one, withdrawnAt: ms(NOW) })) }
    expect(cutoffBy([...slow, slip], NOW)).toBe('2026-09-12T14:00:00.000Z')
  })

  test('without reports is one open day ago', () => {
    // Monday, 14 September: Friday is over, so Thursday counts.
    expect(cutoffBy([], '2026-09-14T18:00:00Z')).toBe('2026-09-11T03:59:59.999Z')
    // Tuesday: Monday is over, so Friday counts.
    expect(cutoffBy([], '2026-09-15T18:00:00Z')).toBe('2026-09-12T03:59:59.999Z')
  })
})
