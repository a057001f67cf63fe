import { describe, expect, test } from 'vitest'
import { formatChance, formatLikelyDays } from '@/app/ui/words/chance'
import { parseIsoDate } from '@/lib/hold/zone'
import { english } from '@/lib/messages/english'

describe('a chance is given out of a hundred', () => {
  test.each([
    [0, 'no chance'],
    [0.0001, 'under 1 in 100'],
    [0.034, '3 in 100'],
    [0.5, '50 in 100'],
    [0.9999, 'over 99 in 100'],
    [1, '100 in 100'],
  ])('%d: %s', (chance, words) => expect(formatChance(english, chance)).toBe(words))
})

describe('likely days', () => {
  const now = Date.parse('2026-11-25T12:00:00Z')
  const between = (p10: string | null, p90: string | null) => {
    const day = (text: string | null) => (text === null ? null : (parseIsoDate(text) as number))
    return formatLikelyDays(english, { p10: day(p10), p90: day(p90) }, 'Europe/Lisbon', now)
  }
  test('give one month once', () => expect(between('2026-12-01', '2026-12-04')).toBe('Tue 1 to Fri 4 Dec'))
  test('give both months if they differ', () =>
    expect(between('2026-11-30', '2026-12-02')).toBe('Mon 30 Nov to Wed 2 Dec'))
  test('give another year', () =>
    expect(between('2026-12-30', '2027-01-04')).toBe('Wed 30 Dec to Mon 4 Jan 2027'))
  test('are one day if both ends are the same', () =>
    expect(between('2026-12-01', '2026-12-01')).toBe('Tue 1 Dec'))
  test('are null if it may never come', () => expect(between('2026-12-01', null)).toBeNull())
})
