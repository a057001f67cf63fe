import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { DutyContent } from '@/lib/custody/testingEntries'
import { createCalendar } from '@/lib/hold/calendar'
import { createHolidayLookup, findHolidayDay } from '@/lib/hold/holidayRule'
import { DAY, formatIsoDate, getWeekday, parseIsoDate } from '@/lib/hold/zone'
import { findLastOpenDay, workBack } from '@/lib/schedule/workBack'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'
import { FEDERAL_RULES } from './federalHolidayRules'

const day = (date: string) => parseIsoDate(date) as number
const WEEK = new Set([1, 2, 3, 4, 5])

const federal = (zone: string) =>
  createCalendar(zone, [
    {
      weekdays: WEEK,
      closed: new Set(),
      findHoliday: createHolidayLookup(FEDERAL_RULES),
      holdsFromAt: Number.NEGATIVE_INFINITY,
    },
  ])
const NEW_YORK = federal('America/New_York')

// Source: the lists of 2008 (opm.gov, kept by the archive of the University of North Texas) and of 2012 (as the news
// service FedSmith gave it on 2 January 2012), both seen in stored copies.
test.each([
  [2008, '01-01 01-21 02-18 05-26 07-04 09-01 10-13 11-11 11-27 12-25'],
  // Two of these fell on a Sunday: New Year and Veterans Day.
  [2012, '01-02 01-16 02-20 05-28 07-04 09-03 10-08 11-12 11-22 12-25'],
])('the holidays of %i are on the days of the published list', (year, list) => {
  expect(FEDERAL_RULES.map((rule) => formatIsoDate(findHolidayDay(rule, year) as number))).toEqual(
    list.split(' ').map((date) => `${year}-${date}`),
  )
})

// Source: Federal Rules of Civil Procedure 6(a)(1), (5) and (6), seen in stored copies: a period that is measured
// backward from an event goes on backward from a Saturday, a Sunday or a holiday of 5 U.S.C. 6103. The example is that
// of the committee's note of 2009, of which only a garbled copy was seen; its dates are those of the calendar.
describe('a day that is counted back to a day on which nobody works', () => {
  test('is Friday, 31 August 2007, for the Saturday before Labor Day', () => {
    expect(formatIsoDate(findLastOpenDay(day('2007-09-22') - 21, NEW_YORK))).toBe('2007-08-31')
  })

  test.each([
    ['a Sunday', '2007-09-02', '2007-08-31'],
    ['Labor Day', '2007-09-03', '2007-08-31'],
    ['a Friday on which a Saturday’s holiday is kept', '2004-12-31', '2004-12-30'],
    ['a Monday on which a Sunday’s holiday is kept', '2012-11-12', '2012-11-09'],
    ['Thanksgiving Day', '2012-11-22', '2012-11-21'],
    ['the Friday after it, which is none', '2012-11-23', '2012-11-23'],
  ])('is the last on which someone does, from %s', (_, from, to) => {
    expect(formatIsoDate(findLastOpenDay(day(from), NEW_YORK))).toBe(to)
  })
})

const DUTY: DutyContent = {
  code: 'D',
  product: 'P',
  laboratory: 'L',
  first: '2012-01-17',
  windowDays: 60,
  kitDays: 4,
  loadDays: 2,
  testDays: 7,
  reportDays: 5,
}
const TRANSIT_DAYS = 3

/** The acts of a duty due by a day, at a laboratory, a plant and an office that keep the holidays in one zone. */
function actsFor(duty: DutyContent, dueDay: number, transitDays: number): Record<string, number> {
  const parties = {
    programme: NEW_YORK,
    plant: { code: 'P', calendar: NEW_YORK },
    laboratory: { code: 'L', calendar: NEW_YORK },
    isPickupDay: () => true,
  }
  return Object.fromEntries(
    workBack(duty, dueDay, parties, transitDays).map((act) => [act.act, act.dueDay] as const),
  )
}

/**
 * Counted by hand on the published lists of 2011 and 2012: the report is due on Tuesday 17 January 2012, the day after
 * the Birthday of Martin Luther King. Five open days before: Fri 13, Thu 12, Wed 11, Tue 10, Mon 9. Seven days before
 * that is Monday 2 January, on which New Year is kept: Friday 30 December. Two open days before: Thu 29, Wed 28. Three
 * open days' transit end there: Fri 23, Tue 27 (Christmas, a Sunday, is kept on Monday 26), Wed 28; so it leaves on
 * Thursday 22. Four days before is Sunday 18: the kit is posted on Friday 16.
 */
test('the acts of a test are worked back over the turn of the year 2012 to the days of the published lists', () => {
  const acts = actsFor(DUTY, day('2012-01-17'), TRANSIT_DAYS)
  expect(Object.entries(acts).map(([act, dueDay]) => [act, formatIsoDate(dueDay)])).toEqual([
    ['post kit', '2011-12-16'],
    ['cut', '2011-12-22'],
    ['hand over', '2011-12-22'],
    ['receive', '2011-12-28'],
    ['load', '2011-12-30'],
    ['end test', '2012-01-09'],
    ['report', '2012-01-17'],
  ])
})

/** Whether someone works on a day by the same published rule, written anew on the dates of the runtime. */
function isOpen(of: number): boolean {
  if (getWeekday(of) === 0 || getWeekday(of) === 6) return false
  const date = new Date(of * DAY)
  const [month, weekday, number] = [date.getUTCMonth() + 1, date.getUTCDay(), date.getUTCDate()]
  const week = Math.ceil(number / 7)
  if (weekday === 1 && ['1/3', '2/3', '9/1', '10/2'].includes(`${month}/${week}`)) return false
  if (weekday === 1 && month === 5 && number > 24) return false
  if (weekday === 4 && month === 11 && week === 4) return false
  // A fixed date is kept here if it is today, or was yesterday's Sunday, or is tomorrow's Saturday.
  const kept = [of, ...(weekday === 1 ? [of - 1] : []), ...(weekday === 5 ? [of + 1] : [])]
  return !kept.some((one) => {
    const fixed = new Date(one * DAY)
    return ['1/1', '7/4', '11/11', '12/25'].includes(`${fixed.getUTCMonth() + 1}/${fixed.getUTCDate()}`)
  })
}

/** The `amount`-th open day after a day, or with 0 the day itself or the next open one. */
function after(from: number, amount: number): number {
  let found = from
  for (let left = amount; left > 0; ) {
    found += 1
    if (isOpen(found)) left -= 1
  }
  while (!isOpen(found)) found += 1
  return found
}

/** When the report of what leaves on a day is out, counted forward, where each part takes all the time it may. */
function findReport(
  left: number,
  { loadDays, testDays, reportDays }: DutyContent,
  transitDays: number,
): number {
  const received = after(left, transitDays)
  const loaded = after(received, loadDays)
  return after(after(loaded + testDays, 0), reportDays)
}

test('what leaves on the day that is worked back is reported in time, and what leaves on the next workday is not', () => {
  const amount = fc.integer({ min: 0, max: 12 })
  fc.assert(
    fc.property(
      fc.integer({ min: day('1990-01-01'), max: day('2020-12-31') }),
      fc.integer({ min: 1, max: 9 }),
      fc.tuple(amount, fc.integer({ min: 0, max: 40 }), amount),
      (dueDay, transitDays, [loadDays, testDays, reportDays]) => {
        const duty = { ...DUTY, loadDays, testDays, reportDays }
        const left = actsFor(duty, dueDay, transitDays)['hand over'] as number
        expect(isOpen(left)).toBe(true)
        expect(findReport(left, duty, transitDays)).toBeLessThanOrEqual(dueDay)
        expect(findReport(after(left, 1), duty, transitDays)).toBeGreaterThan(dueDay)
      },
    ),
    { numRuns: chooseUsualOrLong({ usual: 500, long: 2_000 }) },
  )
})
