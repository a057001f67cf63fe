import { describe, expect, test } from 'vitest'
import { findDepartureDay, findNextPickupDay, isPickupDay, type Pickups } from '@/lib/hold/pickup'
import { parseIsoDate } from '@/lib/hold/zone'

// Monday to Friday at 16:30.
const WEEKDAYS: Pickups = [null, 990, 990, 990, 990, 990, null]
const day = (text: string) => parseIsoDate(text) as number
const leaves = (at: string, pickups: Pickups | null = WEEKDAYS) =>
  findDepartureDay(pickups, Date.parse(at), 'Europe/Lisbon')

describe('a sample leaves', () => {
  // Friday 6 November 2026 in Lisbon, where clocks show UTC.
  test('on the same day up to the very moment of the pickup', () =>
    expect(leaves('2026-11-06T16:30:00Z')).toBe(day('2026-11-06')))
  test('with the next pickup a second later, over the weekend', () =>
    expect(leaves('2026-11-06T16:30:01Z')).toBe(day('2026-11-09')))
  test('with the next pickup from a day without one', () =>
    expect(leaves('2026-11-07T09:00:00Z')).toBe(day('2026-11-09')))
  test('on the same day while pickups are unknown, or if there is none on any weekday', () => {
    expect(leaves('2026-11-07T23:00:00Z', null)).toBe(day('2026-11-07'))
    expect(leaves('2026-11-07T23:00:00Z', Array(7).fill(null))).toBe(day('2026-11-07'))
  })
})

test('a service calls on its days, and on every day while they are unknown', () => {
  expect([day('2026-11-06'), day('2026-11-07')].map((one) => isPickupDay(WEEKDAYS, one))).toEqual([
    true,
    false,
  ])
  expect(isPickupDay(null, day('2026-11-07'))).toBe(true)
  expect(findNextPickupDay(WEEKDAYS, day('2026-11-06'))).toBe(day('2026-11-09'))
})
