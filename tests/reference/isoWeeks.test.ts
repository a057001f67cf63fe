import { expect, test } from 'vitest'
import { parseIsoDate, toDayNumber } from '@/lib/hold/zone'
import { findMonday, formatIsoWeek, parseIsoWeek, toIsoWeek } from '@/lib/schedule/isoWeek'

/** Weeks of ISO 8601 at the turn of the year, as published with the standard's rule. */
test.each([
  ['2005-01-01', '2004-W53', 6],
  ['2008-12-29', '2009-W01', 1],
  ['2010-01-03', '2009-W53', 7],
  ['2020-12-31', '2020-W53', 4],
  ['2026-12-31', '2026-W53', 4],
  ['2027-01-03', '2026-W53', 7],
])('%s is in %s, on its day %i', (date, text, weekday) => {
  const day = parseIsoDate(date) as number
  const week = toIsoWeek(day)
  expect(formatIsoWeek(week)).toBe(text)
  expect(parseIsoWeek(text)).toEqual(week)
  expect(day - (findMonday(week) as number) + 1).toBe(weekday)
})

test('71 of the 400 years of the calendar have 53 weeks, and no other has week 53', () => {
  const long = Array.from({ length: 400 }, (_, index) => 2000 + index).filter(
    (year) => findMonday({ year, week: 53 }) !== null,
  )
  expect(long).toHaveLength(71)
  // A year has 53 weeks exactly if its 28 December is in week 53.
  expect(long).toEqual(
    Array.from({ length: 400 }, (_, index) => 2000 + index).filter(
      (year) => toIsoWeek(toDayNumber(year, 12, 28)).week === 53,
    ),
  )
})

test.each(['2027-W53', '2026-W00', '2026-W54', '2026-48', '2026-W5', ''])('"%s" is no week', (text) => {
  expect(parseIsoWeek(text)).toBeNull()
})
