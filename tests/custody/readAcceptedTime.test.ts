import { describe, expect, test } from 'vitest'
import { isReadingFault, readAcceptedTime, readTime } from '@/lib/custody/reading'

const at = (text: string) => ({ earliestAt: Date.parse(text), latestAt: Date.parse(text) })

describe('an accepted time, read with newer zone data', () => {
  test('is read by its offset if the zone now contradicts it', () => {
    const sent = ['2026-10-30T16:10:00+01:00', 'Europe/Lisbon', null] as const
    expect(isReadingFault(readTime(...sent))).toBe(true)
    expect(readAcceptedTime(...sent)).toEqual(at('2026-10-30T15:10:00Z'))
  })

  test('is read in the zone of its place if its own zone is gone', () => {
    const sent = ['2026-10-30T16:10:00', 'Europe/Gone', 'Asia/Kolkata'] as const
    expect(isReadingFault(readTime(...sent))).toBe(true)
    expect(readAcceptedTime(...sent)).toEqual(at('2026-10-30T10:40:00Z'))
  })

  test('is read as before if nothing changed', () => {
    expect(readAcceptedTime('2026-10-30T16:10:00', 'Europe/Lisbon', 'Asia/Kolkata')).toEqual(
      at('2026-10-30T16:10:00Z'),
    )
    expect(isReadingFault(readAcceptedTime('2026-10-30T16:10:00', null, null))).toBe(true)
  })
})
