import { describe, expect, test } from 'vitest'
import { addOpenDays, createCalendar } from '@/lib/hold/calendar'
import { computeDueAt } from '@/lib/hold/due'
import { parseIsoDate } from '@/lib/hold/zone'

// Source: 5 U.S.C. 6103 and E.O. 11582: a holiday on a Saturday is observed on the Friday before, one on a Sunday on
// the Monday after. The list of 2009 as published; 1 January 2028 is a Saturday, observed on 31 December 2027.
const OBSERVED = [
  '2009-01-01',
  '2009-01-19',
  '2009-02-16',
  '2009-05-25',
  '2009-07-03',
  '2009-09-07',
  '2009-10-12',
  '2009-11-11',
  '2009-11-26',
  '2009-12-25',
  '2027-12-31',
]
const day = (date: string) => parseIsoDate(date) as number
const calendar = createCalendar('America/New_York', [
  {
    weekdays: new Set([1, 2, 3, 4, 5]),
    closed: new Set(OBSERVED.map(day)),
    holdsFromAt: Number.NEGATIVE_INFINITY,
  },
])
const due = (amount: number, start: string) =>
  new Date(
    computeDueAt(
      { name: 'dock to chamber', from: 'received', to: 'loaded', amount, unit: 'working days' },
      Date.parse(start),
      { plantZone: 'Asia/Tokyo', laboratory: calendar },
    ),
  ).toISOString()

describe('working days of a laboratory that keeps the holidays of 5 U.S.C. 6103', () => {
  test('pass over Friday, 3 July 2009, the day on which the fourth was observed', () => {
    // Wednesday, 1 July; counted are Thursday 2, Monday 6, Tuesday 7.
    expect(due(3, '2009-07-01T10:00:00-04:00')).toBe('2009-07-08T03:59:59.999Z')
  })

  test('pass over Thanksgiving but not over the Friday after it', () => {
    // Wednesday, 25 November 2009; counted are Friday 27 and Monday 30.
    expect(due(2, '2009-11-25T16:00:00-05:00')).toBe('2009-12-01T04:59:59.999Z')
  })

  test('pass over 31 December 2027, when the New Year of 2028 is observed', () => {
    // Thursday, 30 December 2027; counted is Monday, 3 January 2028.
    expect(due(1, '2027-12-30T10:00:00-05:00')).toBe('2028-01-04T04:59:59.999Z')
  })

  test('give a limit of no days to the next open day when it starts on a holiday', () => {
    // Christmas 2009 is a Friday; the next open day is Monday 28.
    expect(due(0, '2009-12-25T10:00:00-05:00')).toBe('2009-12-29T04:59:59.999Z')
  })

  test('are 251 in 2009: 261 days from Monday to Friday, less ten holidays', () => {
    expect(addOpenDays(day('2008-12-31'), 251, calendar)).toBe(day('2009-12-31'))
  })
})
