import { describe, expect, test } from 'vitest'
import { computeDueAt, computeEarliestStopAt, findCountingZone } from '@/lib/hold/due'
import { iso, limit, ms, places } from './places'

const due = (parts: Parameters<typeof limit>[0], start: string, ...closed: string[]) =>
  iso(computeDueAt(limit(parts), ms(start), places(...closed)))

describe('hours and elapsed days are strict to the instant, whatever the clocks do', () => {
  test('24 hours across the end of summer time are 24 hours', () => {
    // Saturday, 31 October 2026, 10:10 in New York (-04:00); the next day 09:10 (-05:00) is 24 hours later.
    expect(due({ amount: 24, unit: 'hours' }, '2026-10-31T10:10:00.001-04:00')).toBe(
      '2026-11-01T14:10:00.001Z',
    )
  })

  test('an elapsed day is 86,400 seconds', () => {
    expect(due({ amount: 1, unit: 'days', counting: 'elapsed' }, '2026-10-31T10:10:00.001-04:00')).toBe(
      '2026-11-01T14:10:00.001Z',
    )
  })
})

describe('calendar days run to the last millisecond of a local day', () => {
  const tenDays = { amount: 10, unit: 'days', counting: 'calendar' } as const

  test('of the laboratory, unless the limit says plant', () => {
    // Friday, 30 October 2026, 16:10 in Lisbon: day 10 is Monday, 9 November, there and in New York (-05:00).
    const start = '2026-10-30T16:10:00Z'
    expect(due(tenDays, start)).toBe('2026-11-10T04:59:59.999Z')
    expect(due({ ...tenDays, zone: 'laboratory' }, start)).toBe('2026-11-10T04:59:59.999Z')
    expect(due({ ...tenDays, zone: 'plant' }, start)).toBe('2026-11-09T23:59:59.999Z')
  })

  test('from the local date of the start, which may be the day before in the other zone', () => {
    // Saturday, 1:30 in Lisbon is Friday, 21:30 in New York.
    const start = '2026-10-31T01:30:00Z'
    expect(due(tenDays, start)).toBe('2026-11-10T04:59:59.999Z')
    expect(due({ ...tenDays, zone: 'plant' }, start)).toBe('2026-11-10T23:59:59.999Z')
  })

  test('and the starting day is day 0', () => {
    expect(due({ ...tenDays, amount: 0, zone: 'plant' }, '2026-10-30T00:00:00Z')).toBe(
      '2026-10-30T23:59:59.999Z',
    )
    expect(due({ ...tenDays, amount: 0, zone: 'plant' }, '2026-10-30T23:59:59.999Z')).toBe(
      '2026-10-30T23:59:59.999Z',
    )
  })

  test('a day of 23 hours and one of 25 hours are one day each', () => {
    // New York: 8 March 2026 has 23 hours, 1 November 2026 has 25.
    expect(due({ ...tenDays, amount: 1 }, '2026-03-07T12:00:00-05:00')).toBe('2026-03-09T03:59:59.999Z')
    expect(due({ ...tenDays, amount: 1 }, '2026-10-31T12:00:00-04:00')).toBe('2026-11-02T04:59:59.999Z')
  })
})

describe('months run to the end of the month so many months on', () => {
  test.each([
    ['from the first of the month', 1, '2026-01-01T12:00:00Z', '2026-02-28T23:59:59.999Z'],
    ['from its last day', 1, '2026-01-31T12:00:00Z', '2026-02-28T23:59:59.999Z'],
    ['over the turn of the year', 14, '2026-11-15T12:00:00Z', '2028-01-31T23:59:59.999Z'],
    ['into a leap year', 1, '2028-01-15T12:00:00Z', '2028-02-29T23:59:59.999Z'],
    ['of none, to the end of its own', 0, '2026-02-03T12:00:00Z', '2026-02-28T23:59:59.999Z'],
  ])('%s', (_, amount, start, expected) => {
    expect(due({ amount, unit: 'months', zone: 'plant' }, start)).toBe(expected)
  })

  test('by the month of the local date: in New York it is still October', () => {
    expect(due({ amount: 1, unit: 'months' }, '2026-11-01T03:59:59Z')).toBe('2026-12-01T04:59:59.999Z')
    expect(due({ amount: 1, unit: 'months' }, '2026-11-01T04:00:00Z')).toBe('2027-01-01T04:59:59.999Z')
  })
})

describe("working days run to the end of the laboratory's open day", () => {
  const working = (amount: number) => ({ amount, unit: 'working days' as const })

  test('over a week-end and a closure', () => {
    // Friday, 30 October 2026; Monday is closed; counted are Tuesday, Wednesday, Thursday.
    expect(due(working(3), '2026-10-30T10:00:00-04:00', '2026-11-02')).toBe('2026-11-06T04:59:59.999Z')
  })

  test('of amount 0: the day of the start if it is open, else the next open day', () => {
    expect(due(working(0), '2026-10-30T10:00:00-04:00')).toBe('2026-10-31T03:59:59.999Z')
    expect(due(working(0), '2026-10-31T10:00:00-04:00')).toBe('2026-11-03T04:59:59.999Z')
  })

  test('from a closed day, which is not day 1', () => {
    expect(due(working(1), '2026-10-31T10:00:00-04:00')).toBe('2026-11-03T04:59:59.999Z')
  })

  test("after the laboratory's own date, not the plant's", () => {
    // Friday, 02:00 in Lisbon is Thursday, 22:00 in New York, so that Friday is day 1.
    expect(due(working(1), '2026-11-06T02:00:00Z')).toBe('2026-11-07T04:59:59.999Z')
  })
})

test('a limit that counts local days has a zone of counting', () => {
  const zones = [
    limit({ unit: 'hours' }),
    limit({ unit: 'days', counting: 'elapsed' }),
    limit({ unit: 'days', counting: 'calendar' }),
    limit({ unit: 'months', zone: 'plant' }),
    limit({ unit: 'working days' }),
  ].map((one) => findCountingZone(one, places()))
  expect(zones).toEqual([undefined, undefined, 'America/New_York', 'Europe/Lisbon', 'America/New_York'])
})

describe('a least time is over', () => {
  const earliest = (parts: Parameters<typeof limit>[0], start: string, ...closed: string[]) =>
    iso(computeEarliestStopAt(limit(parts), ms(start), places(...closed)))

  test('to the instant, in hours or elapsed days, whatever the clocks do', () => {
    // Summer time ends in New York on 1 November 2026.
    const start = '2026-10-31T10:10:00.001-04:00'
    expect(earliest({ atLeast: 10 }, start)).toBe('2026-11-01T00:10:00.001Z')
    expect(earliest({ atLeast: 1, unit: 'days', counting: 'elapsed' }, start)).toBe(
      '2026-11-01T14:10:00.001Z',
    )
  })

  test('with the first instant of a local day, on the clocks of that day', () => {
    const oneDay = { atLeast: 1, unit: 'days', counting: 'calendar' } as const
    // Saturday, 1:30 in Lisbon is Friday, 21:30 in New York (-04:00).
    expect(earliest(oneDay, '2026-10-31T01:30:00Z')).toBe('2026-10-31T04:00:00.000Z')
    expect(earliest({ ...oneDay, zone: 'plant' }, '2026-10-31T01:30:00Z')).toBe('2026-11-01T00:00:00.000Z')
    expect(earliest({ ...oneDay, atLeast: 3 }, '2026-10-31T01:30:00Z')).toBe('2026-11-02T05:00:00.000Z')
    expect(earliest({ ...oneDay, unit: 'weeks' }, '2026-10-31T01:30:00Z')).toBe('2026-11-06T05:00:00.000Z')
  })

  test('with the first instant of an open day, in working days', () => {
    // Friday, 30 October 2026; Monday is closed.
    const start = '2026-10-30T16:10:00Z'
    const twoDays = { atLeast: 2, unit: 'working days' } as const
    expect(earliest(twoDays, start)).toBe('2026-11-03T05:00:00.000Z')
    expect(earliest(twoDays, start, '2026-11-02')).toBe('2026-11-04T05:00:00.000Z')
    expect(earliest({ ...twoDays, atLeast: 0 }, start)).toBe('2026-10-30T04:00:00.000Z')
    expect(earliest({ ...twoDays, atLeast: 0 }, '2026-10-31T16:10:00Z')).toBe('2026-11-02T05:00:00.000Z')
  })
})
