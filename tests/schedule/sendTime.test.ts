import { describe, expect, test } from 'vitest'
import { HOUR, MINUTE, parseIsoDate, toDayNumber } from '@/lib/hold/zone'
import {
  computeSendAt,
  findLastSend,
  findNextSend,
  findWeek,
  type SendTime,
  toNamedWeek,
} from '@/lib/schedule/sendTime'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'

const day = (text: string) => parseIsoDate(text) as number
const at = (text: string) => Date.parse(text)

describe('a week has its name by ISO 8601', () => {
  // The edge cases that are commonly published with the standard's definition.
  test.each([
    ['1977-01-01', '1976-W53'],
    ['1977-01-02', '1976-W53'],
    ['1977-12-31', '1977-W52'],
    ['1978-01-01', '1977-W52'],
    ['1978-01-02', '1978-W01'],
    ['1979-12-30', '1979-W52'],
    ['1979-12-31', '1980-W01'],
    ['1980-12-28', '1980-W52'],
    ['1980-12-29', '1981-W01'],
    ['1981-12-31', '1981-W53'],
    ['1982-01-03', '1981-W53'],
    ['1982-01-04', '1982-W01'],
    ['2026-12-31', '2026-W53'],
    ['2027-01-03', '2026-W53'],
  ])('%s lies in %s', (date, name) => {
    expect(toNamedWeek(day(date)).name).toBe(name)
    expect(findWeek(name)).toEqual(toNamedWeek(day(date)))
  })

  test.each(['2025-W53', '2026-W00', '2026-W54', '2026-48', 'W48', ''])('%s is none', (name) => {
    expect(findWeek(name)).toBeUndefined()
  })
})

describe('the hour of a mail', () => {
  const sunday = (minuteOfDay: number): SendTime => ({ weekday: 7, minuteOfDay })
  const of = (date: string, time: SendTime, zone: string) => computeSendAt(toNamedWeek(day(date)), time, zone)

  test('is read with the offset before if it is skipped: 01:30 in Lisbon on 29 March 2026', () => {
    expect(of('2026-03-29', sunday(90), 'Europe/Lisbon')).toBe(at('2026-03-29T01:30:00Z'))
  })
  test('is the first if it comes twice: 01:30 in Lisbon on 25 October 2026', () => {
    expect(of('2026-10-25', sunday(90), 'Europe/Lisbon')).toBe(at('2026-10-25T00:30:00Z'))
  })
  test('stays the same on the wall: 07:00 in New York before and after 1 November 2026', () => {
    const monday = { weekday: 1, minuteOfDay: 7 * 60 }
    expect(of('2026-10-26', monday, 'America/New_York')).toBe(at('2026-10-26T11:00:00Z'))
    expect(of('2026-11-02', monday, 'America/New_York')).toBe(at('2026-11-02T12:00:00Z'))
  })
})

/** Between two ticks. 13 has no divisor in common with the half hours of a week, so that they come at each of these in turn. */
const TICK = chooseUsualOrLong({ usual: 13, long: 1 }) * 30 * MINUTE

describe('a year of ticks', () => {
  const zones = [
    'Europe/Lisbon',
    'America/New_York',
    'Asia/Kolkata',
    'Australia/Lord_Howe',
    'America/Santiago',
    'Pacific/Chatham',
  ]
  // On Sundays, when clocks change, at hours that are skipped or come twice in one of these zones; and a usual Monday.
  const times: SendTime[] = [
    ...[0, 90, 150, 165].map((minuteOfDay) => ({ weekday: 7, minuteOfDay })),
    { weekday: 1, minuteOfDay: 7 * 60 },
  ]
  const years = [
    { year: 2025, weeks: 52 },
    { year: 2026, weeks: 53 },
  ]
  test.each(zones)('in %s brings 52 or 53 mails, none twice and none before its time', (zone) => {
    for (const { year, weeks } of years)
      for (const time of times) {
        const found: string[] = []
        let isEarly = false
        for (let now = Date.UTC(year - 1, 11, 15); now < Date.UTC(year + 1, 0, 20); now += TICK) {
          const { week, dueAt } = findLastSend(now, time, zone)
          isEarly ||= dueAt > now
          if (found.at(-1) !== week.name) found.push(week.name)
        }
        expect(isEarly).toBe(false)
        expect(new Set(found).size).toBe(found.length)
        expect(found.filter((name) => name.startsWith(`${year}-`))).toHaveLength(weeks)
      }
  })
})

test('after three weeks without a server only the last mail is due', () => {
  const monday = { weekday: 1, minuteOfDay: 7 * 60 }
  const { week, dueAt } = findLastSend(at('2026-11-25T12:00:00Z'), monday, 'Asia/Kolkata')
  expect([week.name, dueAt]).toEqual(['2026-W48', at('2026-11-23T01:30:00Z')])
  expect(findLastSend(dueAt - 1, monday, 'Asia/Kolkata').week.name).toBe('2026-W47')
  expect(findNextSend(dueAt, monday, 'Asia/Kolkata')).toEqual({
    week: toNamedWeek(toDayNumber(2026, 11, 30)),
    dueAt: dueAt + 7 * 24 * HOUR,
  })
})
