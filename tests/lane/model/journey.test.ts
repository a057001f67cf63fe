import { describe, expect, test } from 'vitest'
import { findKnownAt } from '@/lib/lane/model/journey'
import { journey, ms, report } from '../lanes'

const at = (text: string) => ms(text)
const known = (reports: ReturnType<typeof report>[], when: string) =>
  findKnownAt({ ...journey({}), reports }, ms(when)).milestones

describe('what was known of a sample at a time', () => {
  const late = { ...report('received', '2026-09-16T14:00:00Z'), knownAt: at('2026-09-17T13:00:00Z') }

  test('includes what had been reported by then', () => {
    expect(known([late], '2026-09-17T12:59:59Z').has('received')).toBe(false)
    expect(known([late], '2026-09-17T13:00:00Z').has('received')).toBe(true)
  })

  test('excludes a future event until its time comes', () => {
    const ahead = { ...report('received', '2026-09-16T14:00:00Z'), knownAt: at('2026-09-01T00:00:00Z') }
    expect(known([ahead], '2026-09-16T13:59:59Z').size).toBe(0)
    expect(known([ahead], '2026-09-16T14:00:00Z').size).toBe(1)
  })

  test('includes a wrong report until its correction was known', () => {
    const slip = { ...report('received', '2026-09-15T14:00:00Z'), withdrawnAt: at('2026-09-18T09:00:00Z') }
    const received = (when: string) => known([slip, late], when).get('received')
    expect(received('2026-09-18T08:59:59Z')?.earliestAt).toBe(slip.at)
    expect(received('2026-09-18T09:00:00Z')?.earliestAt).toBe(late.at)
  })

  test('takes the least fresh readings: the earliest and the latest of all', () => {
    const date = { ...report('received', '2026-09-15'), knownAt: at('2026-09-15T00:00:00Z') }
    const reading = known([late, date], '2026-09-20T00:00:00Z').get('received')
    expect(reading).toEqual({ earliestAt: at('2026-09-15T00:00:00Z'), latestAt: late.latestAt })
  })

  test('includes its ending once that was known', () => {
    const ending = {
      kind: 'lost',
      at: at('2026-09-16T00:00:00Z'),
      knownAt: at('2026-09-20T00:00:00Z'),
    } as const
    const lost = journey({ ending })
    expect(findKnownAt(lost, ending.knownAt - 1).ending).toBeNull()
    expect(findKnownAt(lost, ending.knownAt).ending).toEqual(ending)
  })
})
