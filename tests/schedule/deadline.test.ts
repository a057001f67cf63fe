import { expect, test } from 'vitest'
import { findDeadlineZone, isDayEnd } from '@/lib/schedule/deadline'

const at = (text: string) => Date.parse(text)

test('a day ends with its last millisecond and with the midnight after it, in a zone and no other', () => {
  expect(isDayEnd(at('2026-11-26T23:59:59.999Z'), 'UTC')).toBe(true)
  expect(isDayEnd(at('2026-11-27T00:00:00.000Z'), 'UTC')).toBe(true)
  expect(isDayEnd(at('2026-11-26T23:59:59.998Z'), 'UTC')).toBe(false)
  expect(isDayEnd(at('2026-11-27T00:00:00.001Z'), 'UTC')).toBe(false)
  expect(isDayEnd(at('2026-11-27T00:00:00.000Z'), 'Europe/Paris')).toBe(false)
  // Clocks in Santiago go forward at midnight: Sunday 6 September 2026 begins at 01:00, 04:00 UTC.
  expect(isDayEnd(at('2026-09-06T03:59:59.999Z'), 'America/Santiago')).toBe(true)
  expect(isDayEnd(at('2026-09-06T04:00:00.000Z'), 'America/Santiago')).toBe(true)
})

test('a deadline is shown in a zone where it ends a day, else in the first zone', () => {
  const zones = ['Europe/Copenhagen', 'Europe/Lisbon'] as const
  expect(findDeadlineZone(at('2026-11-30T00:00:00Z'), zones)).toBe('Europe/Lisbon')
  expect(findDeadlineZone(at('2026-11-29T23:00:00Z'), zones)).toBe('Europe/Copenhagen')
  expect(findDeadlineZone(at('2026-11-30T12:00:00Z'), zones)).toBe('Europe/Copenhagen')
})
