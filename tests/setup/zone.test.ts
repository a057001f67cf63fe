import { expect, test } from 'vitest'

const januaryOffsets: Record<string, number> = { UTC: 0, 'America/New_York': 300, 'Asia/Kolkata': -330 }

test('this worker really runs in the zone that its project names', () => {
  const zone = process.env.TZ ?? ''
  expect(Object.keys(januaryOffsets)).toContain(zone)
  expect(new Date(2026, 0, 15).getTimezoneOffset()).toBe(januaryOffsets[zone])
})
