import { describe, expect, test } from 'vitest'
import { addOpenDays, createCalendar, findOpenDay } from '@/lib/hold/calendar'
import { day, days, ms, places, WORKWEEK } from './places'

const EVER = Number.NEGATIVE_INFINITY

describe('a day of a laboratory is open', () => {
  const { laboratory } = places('2026-11-26')

  test('where it has receiving hours on that weekday', () => {
    // Friday, 30 October, to Monday, 2 November 2026.
    const open = ['2026-10-30', '2026-10-31', '2026-11-01', '2026-11-02'].map((date) =>
      laboratory.isOpen(day(date)),
    )
    expect(open).toEqual([true, false, false, true])
  })

  test('unless it is a holiday or a closure', () => {
    expect(laboratory.isOpen(day('2026-11-26'))).toBe(false)
    expect(laboratory.isOpen(day('2026-11-27'))).toBe(true)
  })
})

describe('the next open days', () => {
  const { laboratory } = places('2026-11-26', '2026-11-27')

  test.each([
    // Wednesday, 25 November 2026; Thursday and Friday are closed.
    [0, '2026-11-25', '2026-11-25'],
    [1, '2026-11-25', '2026-11-30'],
    [2, '2026-11-25', '2026-12-01'],
    // From a closed day.
    [0, '2026-11-26', '2026-11-30'],
    [1, '2026-11-26', '2026-11-30'],
    [0, '2026-11-28', '2026-11-30'],
  ])('number %i after %s is %s', (amount, from, expected) => {
    expect(addOpenDays(day(from), amount, laboratory)).toBe(day(expected))
  })
})

describe('a laboratory whose opening days change', () => {
  const before = { weekdays: WORKWEEK, closed: days('2026-11-02'), holdsFromAt: EVER }
  // Entered at 23:30 on Thursday, 5 November 2026 in New York, which is Friday already in UTC.
  const after = {
    weekdays: new Set([6]),
    closed: days('2026-11-14'),
    holdsFromAt: ms('2026-11-06T04:30:00Z'),
  }

  test.each([
    ['a day already past keeps what held then', '2026-11-04', true],
    ['and its closure', '2026-11-02', false],
    ['a past Saturday stays closed', '2026-10-31', false],
    ['the day of the change itself, not over yet, takes the new one', '2026-11-05', false],
    ['later days take the new one', '2026-11-07', true],
    ['with its closures', '2026-11-14', false],
  ])('%s: %s open: %s', (_, date, isOpen) => {
    expect(createCalendar('America/New_York', [before, after]).isOpen(day(date))).toBe(isOpen)
    expect(createCalendar('America/New_York', [after, before]).isOpen(day(date))).toBe(isOpen)
  })

  test('keeps the first version for all time before it', () => {
    const calendar = createCalendar('America/New_York', [
      { ...before, holdsFromAt: ms('2026-11-01T12:00:00Z') },
      after,
    ])
    expect(calendar.isOpen(day('2020-11-04'))).toBe(true)
  })

  test('takes each of three versions for its own days', () => {
    const third = { weekdays: new Set([0]), closed: days(), holdsFromAt: ms('2026-11-20T12:00:00Z') }
    const calendar = createCalendar('America/New_York', [third, after, before])
    // A Wednesday, a Saturday, a Sunday.
    const open = ['2026-11-04', '2026-11-07', '2026-11-22'].map((date) => calendar.isOpen(day(date)))
    expect(open).toEqual([true, true, true])
    expect(['2026-11-18', '2026-11-21'].map((date) => calendar.isOpen(day(date)))).toEqual([false, false])
  })
})

test('a laboratory that opens on no weekday is refused', () => {
  expect(() =>
    createCalendar('America/New_York', [{ weekdays: new Set(), closed: days(), holdsFromAt: EVER }]),
  ).toThrow('opens on at least one weekday')
})

describe('a search for open days ends', () => {
  const { laboratory } = places()
  const never = { zone: 'UTC', isOpen: () => false }

  test.each([10_001, 99_999_999_999, -1, 1.5, Number.NaN])(
    'at once where %d of them are asked for',
    (amount) => {
      expect(() => addOpenDays(day('2026-11-02'), amount, laboratory)).toThrow(RangeError)
    },
  )

  test('with the largest amount, 2,000 weeks on from a Monday', () => {
    expect(addOpenDays(day('2026-11-02'), 10_000, laboratory)).toBe(day('2026-11-02') + 14_000)
  })

  test('in a calendar that is never open', () => {
    const start = day('2026-11-02')
    for (const amount of [0, 1, 10_000]) expect(addOpenDays(start, amount, never)).toBe(start + 400_000)
    expect(findOpenDay(start, -1, never)).toBe(start - 400_000)
  })
})
