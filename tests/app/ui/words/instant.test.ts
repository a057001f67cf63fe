import { describe, expect, test } from 'vitest'
import {
  formatDayNumber,
  formatDeadline,
  formatEnd,
  formatInstant,
  formatLongDeadline,
  formatLongInstant,
  formatSince,
} from '@/app/ui/words/instant'
import { toDayNumber } from '@/lib/hold/zone'
import { english } from '@/lib/messages/english'
import { formatZone } from '@/lib/messages/zoneName'

const now = Date.parse('2026-11-10T12:00:00Z')
const at = (text: string) => Date.parse(text)

describe('an instant', () => {
  test('has its weekday, date, time and place', () => {
    const cutAt = at('2026-10-30T16:10:00Z')
    expect(formatInstant(english, cutAt, 'Europe/Lisbon', now)).toBe('Fri 30 Oct 16:10 Lisbon')
    expect(formatInstant(english, cutAt, 'America/New_York', now)).toBe('Fri 30 Oct 12:10 New York')
    expect(formatInstant(english, cutAt, 'Asia/Kolkata', now)).toBe('Fri 30 Oct 21:40 Kolkata')
  })

  test('has its year if that is not the year of now in that zone', () => {
    expect(formatInstant(english, at('2025-12-31T23:30:00Z'), 'Europe/Lisbon', now)).toBe(
      'Wed 31 Dec 2025 23:30 Lisbon',
    )
    const newYear = at('2026-12-31T23:30:00Z')
    expect(formatInstant(english, newYear, 'Asia/Kolkata', newYear)).toBe('Fri 1 Jan 05:00 Kolkata')
  })

  test('has its offset if the clocks show the time twice', () => {
    expect(formatInstant(english, at('2026-10-25T00:30:00Z'), 'Europe/Lisbon', now)).toBe(
      'Sun 25 Oct 01:30 (+01:00) Lisbon',
    )
    expect(formatInstant(english, at('2026-10-25T01:30:00Z'), 'Europe/Lisbon', now)).toBe(
      'Sun 25 Oct 01:30 (+00:00) Lisbon',
    )
  })

  test('has a long form for a heading', () => {
    expect(formatLongInstant(english, at('2026-11-05T14:20:00Z'), 'Europe/Lisbon', now)).toBe(
      'Thursday 5 November, 14:20 in Lisbon',
    )
    expect(formatLongInstant(english, at('2026-11-05T14:20:00Z'), 'UTC', now)).toBe(
      'Thursday 5 November, 14:20 UTC',
    )
  })

  test('that ends a day is a deadline by that day, which midnight would hide', () => {
    const words = (text: string, zone: string) => formatDeadline(english, at(text), zone, now)
    for (const end of ['2026-11-26T23:59:59.999Z', '2026-11-27T00:00:00Z'])
      expect(words(end, 'Europe/Lisbon')).toBe('the end of Thu 26 Nov, Lisbon')
    expect(words('2026-11-26T23:59:00Z', 'Europe/Lisbon')).toBe('Thu 26 Nov 23:59 Lisbon')
    expect(words('2026-11-27T00:00:01Z', 'Europe/Lisbon')).toBe('Fri 27 Nov 00:00 Lisbon')
    // The same instant ends no day elsewhere.
    expect(words('2026-11-26T23:59:59.999Z', 'Europe/Paris')).toBe('Fri 27 Nov 00:59 Paris')
    // A day of 25 hours, and one that has no midnight before it.
    expect(words('2026-10-25T23:59:59.999Z', 'Europe/Lisbon')).toBe('the end of Sun 25 Oct, Lisbon')
    expect(words('2026-09-06T03:59:59.999Z', 'America/Santiago')).toBe('the end of Sat 5 Sep, Santiago')
    expect(words('2025-12-31T23:59:59.999Z', 'UTC')).toBe('the end of Wed 31 Dec 2025, UTC')
    const end = at('2026-11-26T23:59:59.999Z')
    expect(formatLongDeadline(english, end, 'Europe/Lisbon', now)).toBe(
      'the end of Thursday 26 November in Lisbon',
    )
    expect([
      formatEnd(english, end, 'Europe/Lisbon', now),
      formatEnd(english, end - 1, 'Europe/Lisbon', now),
    ]).toEqual(['with Thu 26 Nov', 'Thu 26 Nov 23:59'])
  })

  test('is today, a weekday within six days, else a date', () => {
    expect(formatSince(english, at('2026-11-10T00:01:00Z'), 'Europe/Lisbon', now)).toBe('today')
    expect(formatSince(english, at('2026-11-10T00:01:00Z'), 'America/New_York', now)).toBe('Mon')
    expect(formatSince(english, at('2026-11-04T12:00:00Z'), 'Europe/Lisbon', now)).toBe('Wed')
    expect(formatSince(english, at('2026-11-03T12:00:00Z'), 'Europe/Lisbon', now)).toBe('3 Nov')
  })
})

test('a local day does not depend on the zone of the machine', () => {
  expect(formatDayNumber(english, toDayNumber(2026, 11, 9), 'Pacific/Auckland', now)).toBe('Mon 9 Nov')
  expect(formatDayNumber(english, toDayNumber(2027, 1, 4), 'America/New_York', now)).toBe('Mon 4 Jan 2027')
})

test.each([
  ['Europe/Lisbon', 'Lisbon'],
  ['America/New_York', 'New York'],
  ['America/Argentina/Buenos_Aires', 'Buenos Aires'],
  ['Asia/Calcutta', 'Kolkata'],
  ['Etc/UTC', 'UTC'],
  ['Etc/GMT+5', 'UTC−5'],
])('the zone %s is called %s', (zone, place) => expect(formatZone(zone)).toBe(place))
