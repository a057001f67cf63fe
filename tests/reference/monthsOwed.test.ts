import { expect, test } from 'vitest'
import { parseIsoDate, toCivilDate } from '@/lib/hold/zone'
import { computeMonthEnd } from '@/lib/schedule/occurrences'

const after = (date: string, months: number) => {
  const { year, month, day } = toCivilDate(computeMonthEnd(parseIsoDate(date) as number, months))
  return [year, month, day]
}

/** EPA letter RO 14933 (27 May 2020): a limit in months is met through the end of the last month. */
test('January plus six months is good through the end of July', () => {
  expect(after('2026-01-01', 6)).toEqual([2026, 7, 31])
  expect(after('2026-01-31', 6)).toEqual([2026, 7, 31])
})

/** Worked out from the same rule: a month's length makes no later month drift. */
test.each([
  ['2026-01-31', 1, [2026, 2, 28]],
  ['2027-12-31', 2, [2028, 2, 29]],
  ['2026-01-31', 2, [2026, 3, 31]],
  ['2026-02-28', 12, [2027, 2, 28]],
  ['2026-02-28', 24, [2028, 2, 29]],
  ['2026-11-30', 1, [2026, 12, 31]],
])('%s plus %i months', (date, months, expected) => {
  expect(after(date, months)).toEqual(expected)
})
