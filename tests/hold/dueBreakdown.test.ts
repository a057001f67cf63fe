import { describe, expect, test } from 'vitest'
import { explainDue } from '@/lib/hold/dueBreakdown'
import { day, iso, limit, ms, places } from './places'

describe('the sum behind a due', () => {
  const start = ms('2026-10-30T16:10:00Z')

  test('has no days for elapsed time', () => {
    const sum = explainDue(limit({ amount: 24, unit: 'hours' }), start, places())
    expect(sum).toMatchObject({ zone: null, zoneOwner: null, startDay: null, steps: [] })
    expect(iso(sum.dueAt)).toBe('2026-10-31T16:10:00.000Z')
  })

  test('names the zone, its owner, and the last calendar day', () => {
    const sum = explainDue(limit({ amount: 10, unit: 'days', counting: 'calendar' }), start, places())
    expect(sum).toMatchObject({
      zone: 'America/New_York',
      zoneOwner: 'laboratory',
      startDay: day('2026-10-30'),
      steps: [{ day: day('2026-11-09'), count: 10 }],
    })
    const plant = explainDue(
      limit({ amount: 10, unit: 'days', counting: 'calendar', zone: 'plant' }),
      start,
      places(),
    )
    expect(plant).toMatchObject({ zone: 'Europe/Lisbon', zoneOwner: 'plant' })
  })

  test('counts every working day, and shows the closed ones uncounted', () => {
    // Friday, 30 October; the Monday after is closed.
    const sum = explainDue(limit({ amount: 2, unit: 'working days' }), start, places('2026-11-02'))
    expect(sum.steps).toEqual([
      { day: day('2026-10-31'), count: null },
      { day: day('2026-11-01'), count: null },
      { day: day('2026-11-02'), count: null },
      { day: day('2026-11-03'), count: 1 },
      { day: day('2026-11-04'), count: 2 },
    ])
  })

  test('with 0 working days ends on the day of the start, or on the next open day', () => {
    const none = limit({ amount: 0, unit: 'working days' })
    expect(explainDue(none, start, places()).steps).toEqual([{ day: day('2026-10-30'), count: 0 }])
    expect(explainDue(none, ms('2026-10-31T16:10:00Z'), places()).steps).toEqual([
      { day: day('2026-10-31'), count: null },
      { day: day('2026-11-01'), count: null },
      { day: day('2026-11-02'), count: 0 },
    ])
  })
})
