import { describe, expect, test } from 'vitest'
import { formatDuration, formatRoughDuration, formatTableDuration } from '@/app/ui/words/duration'
import { DAY, HOUR, MINUTE } from '@/lib/hold/zone'
import { english } from '@/lib/messages/english'

describe('a length of time', () => {
  test.each([
    [0, 'less than a minute'],
    [MINUTE - 1, 'less than a minute'],
    [MINUTE, '1 minute'],
    [2 * HOUR + 18 * MINUTE, '2 hours 18 minutes'],
    [3 * HOUR, '3 hours'],
    [2 * DAY + 4 * HOUR + 59 * MINUTE, '2 days 4 hours'],
    [DAY, '1 day'],
    [10 * DAY + 23 * HOUR, '10 days'],
    [1234 * DAY, '1,234 days'],
  ])('of %d ms is "%s"', (ms, words) => expect(formatDuration(english, ms)).toBe(words))

  test('is never rounded up: a millisecond short of a day is 23 hours 59 minutes', () =>
    expect(formatDuration(english, DAY - 1)).toBe('23 hours 59 minutes'))

  test('in the past has one unit', () => {
    expect(formatRoughDuration(english, 43 * DAY + 3 * HOUR)).toBe('43 days')
    expect(formatRoughDuration(english, 26 * HOUR + 5 * MINUTE)).toBe('26 hours')
    expect(formatRoughDuration(english, HOUR + 5 * MINUTE)).toBe('1 hour 5 minutes')
  })

  test('is in hours below two days in a table, in days from there on', () => {
    expect(formatTableDuration(english, 7.54)).toBe('7.5 h')
    expect(formatTableDuration(english, 47.6)).toBe('48 h')
    expect(formatTableDuration(english, 48)).toBe('2.0 d')
    expect(formatTableDuration(english, 24 * 30)).toBe('30 d')
  })
})
