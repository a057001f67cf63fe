import { describe, expect, test } from 'vitest'
import {
  findInstants,
  getDayEnd,
  getDayStart,
  getWeekday,
  isZone,
  parseIsoDate,
  toCivilDate,
  toDayNumber,
  toLocalDay,
} from '@/lib/hold/zone'
import { day, iso, ms } from './places'

describe('a date', () => {
  test.each([
    '2026-02-29',
    '2026-13-01',
    '2026-00-10',
    '2026-04-31',
    '2026-4-1',
    '20260401',
    '2026-04-01T00:00',
  ])('is not %s', (text) => {
    expect(parseIsoDate(text)).toBeUndefined()
  })

  test('is the number of days since 1 January 1970, and back', () => {
    expect(parseIsoDate('1970-01-01')).toBe(0)
    expect(parseIsoDate('1969-12-31')).toBe(-1)
    expect(parseIsoDate('2000-02-29')).toBe(11_016)
    expect(toCivilDate(11_016)).toEqual({ year: 2000, month: 2, day: 29 })
    expect(toDayNumber(2026, 14, 0)).toBe(day('2027-01-31'))
  })

  test('has its weekday, before 1970 too', () => {
    // 1 January 1970 was a Thursday, 1 November 2026 is a Sunday.
    expect([getWeekday(0), getWeekday(-1), getWeekday(-7), getWeekday(day('2026-11-01'))]).toEqual([
      4, 3, 4, 0,
    ])
  })
})

describe('a zone', () => {
  test.each(['Europe/Lisbon', 'America/Argentina/Buenos_Aires', 'UTC', 'Etc/GMT+5'])('may be %s', (zone) => {
    expect(isZone(zone)).toBe(true)
  })

  test.each([
    '',
    'Lisbon',
    'Europe/Nowhere',
    '+01:00',
    'Nowhere-0500',
    'Europe/Lisbon+01',
    '-05:00',
    'Europe/Lisbon ',
    '__proto__',
    'constructor',
  ])('is not "%s"', (zone) => {
    expect(isZone(zone)).toBe(false)
  })

  test('that does not exist is an error, not UTC', () => {
    expect(() => toLocalDay(0, 'Europe/Nowhere')).toThrow(RangeError)
  })
})

describe('a local time', () => {
  const at = (text: string) => ms(`${text}Z`)

  test('that comes twice means two instants', () => {
    // New York, 1 November 2026, 01:30.
    const { instants, isGap } = findInstants(at('2026-11-01T01:30:00'), 'America/New_York')
    expect([instants.map(iso), isGap]).toEqual([
      ['2026-11-01T05:30:00.000Z', '2026-11-01T06:30:00.000Z'],
      false,
    ])
  })

  test('that is skipped means the two that the offsets after and before the change give', () => {
    // New York, 8 March 2026, 02:30: by -04:00, and by -05:00.
    const { instants, isGap } = findInstants(at('2026-03-08T02:30:00'), 'America/New_York')
    expect([instants.map(iso), isGap]).toEqual([
      ['2026-03-08T06:30:00.000Z', '2026-03-08T07:30:00.000Z'],
      true,
    ])
  })

  test('of a half hour that comes twice on Lord Howe Island means two instants half an hour apart', () => {
    // 5 April 2026: at 02:00 (+11:00) the clocks go back to 01:30 (+10:30).
    const { instants } = findInstants(at('2026-04-05T01:45:00'), 'Australia/Lord_Howe')
    expect(instants.map(iso)).toEqual(['2026-04-04T14:45:00.000Z', '2026-04-04T15:15:00.000Z'])
  })
})

describe('a local day', () => {
  const bounds = (date: string, zone: string) => [
    iso(getDayStart(day(date), zone)),
    iso(getDayEnd(day(date), zone)),
  ]

  test('has 23 or 25 hours where the clocks change', () => {
    expect(bounds('2026-03-08', 'America/New_York')).toEqual([
      '2026-03-08T05:00:00.000Z',
      '2026-03-09T03:59:59.999Z',
    ])
    expect(bounds('2026-11-01', 'America/New_York')).toEqual([
      '2026-11-01T04:00:00.000Z',
      '2026-11-02T04:59:59.999Z',
    ])
  })

  test('begins at 01:00 where midnight was skipped', () => {
    // São Paulo, 4 November 2018: 00:00 (-03:00) became 01:00 (-02:00).
    expect(bounds('2018-11-04', 'America/Sao_Paulo')).toEqual([
      '2018-11-04T03:00:00.000Z',
      '2018-11-05T01:59:59.999Z',
    ])
  })

  test('ends once, though its last hour came twice', () => {
    // São Paulo, 17 February 2018: midnight (-02:00) became 23:00 (-03:00).
    expect(bounds('2018-02-17', 'America/Sao_Paulo')).toEqual([
      '2018-02-17T02:00:00.000Z',
      '2018-02-18T02:59:59.999Z',
    ])
  })
})
