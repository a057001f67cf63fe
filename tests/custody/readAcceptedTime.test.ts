import { describe, expect, test } from 'vitest'
import { isReadingFault, readAcceptedTime, readTime } from '@/lib/custody/reading'

const at = (text: string) => ({ earliestAt: Date.parse(text), latestAt: Date.parse(text) })

describe('a time that was accepted, read by zone data that have changed since', () => {
  test('is its own offset’s instant where the zone now contradicts it', () => {
    const sent = ['2026-10-30T16:10:00+01:00', 'Europe/Lisbon', null] as const
    expect(isReadingFault(readTime(...sent))).toBe(true)
    expect(readAcceptedTime(...sent)).toEqual(at('2026-10-30T15:10:00Z'))
  })

  test('is read in its place’s zone where the name of its own is gone', () => {
    const sent = ['2026-10-30T16:10:00', 'Europe/Gone', 'Asia/Kolkata'] as const
    expect(isReadingFault(readTime(...sent))).toBe(true)
    expect(readAcceptedTime(...sent)).toEqual(at('2026-10-30T10:40:00Z'))
  })

  test('is read as ever where nothing changed', () => {
    expect(readAcceptedTime('2026-10-30T16:10:00', 'Europe/Lisbon', 'Asia/Kolkata')).toEqual(
      at('2026-10-30T16:10:00Z'),
    )
    expect(isReadingFault(readAcceptedTime('2026-10-30T16:10:00', null, null))).toBe(true)
  })
})
