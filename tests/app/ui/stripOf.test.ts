import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { stripOf } from '@/app/ui/stripOf'
import { AXIS_LEFT_HOURS, placeOf, stretched, UPRIGHT } from '@/app/ui/timeLeftScale'
import { DAY, HOUR } from '@/lib/hold/zone'
import { clock } from '../rowOf'

const cutAt = Date.parse('2026-11-02T10:00:00Z')
const dueAt = cutAt + 10 * DAY

describe('the scale of time left', () => {
  test('is asinh of the hours in days, and keeps the sign', () => {
    expect(stretched(0)).toBe(0)
    expect(stretched(24)).toBeCloseTo(Math.log(1 + Math.SQRT2), 12)
    expect(stretched(-24)).toBe(-stretched(24))
  })

  test('has the limit at the upright, and its ends where the axis ends', () => {
    expect(placeOf(0)).toBe(UPRIGHT)
    expect(placeOf(AXIS_LEFT_HOURS)).toBe(0)
    expect(placeOf(AXIS_LEFT_HOURS * 9)).toBe(0)
    expect(placeOf(-1000)).toBe(placeOf(-5 * 24))
  })

  test('gives the last two days nearly half of the way to the upright', () => {
    const share = (UPRIGHT - placeOf(48)) / UPRIGHT
    expect(share).toBeGreaterThan(0.4)
    expect(share).toBeLessThan(0.5)
  })

  test('puts less time left nearer to the upright, always', () => {
    const hours = fc.double({ min: -120, max: AXIS_LEFT_HOURS, noNaN: true })
    // But for the last bits of a float.
    fc.assert(fc.property(hours, hours, (a, b) => placeOf(Math.min(a, b)) >= placeOf(Math.max(a, b)) - 1e-12))
  })
})

describe('a hold strip', () => {
  test('runs from the start of its clock to now, with the milestones in between', () => {
    const strip = stripOf(
      clock({ startedAt: cutAt }),
      [
        { milestone: 'produced', at: cutAt - HOUR },
        { milestone: 'collected', at: cutAt },
        { milestone: 'dispatched', at: cutAt + DAY },
      ],
      dueAt - 50 * HOUR,
    )
    expect(strip).toMatchObject({
      start: placeOf(240),
      end: placeOf(50),
      endKind: 'now',
      before: null,
      isOver: false,
    })
    expect(strip?.marks).toEqual([
      { milestone: 'collected', place: placeOf(240) },
      { milestone: 'dispatched', place: placeOf(216) },
    ])
  })

  test('is torn where it begins before the axis', () => {
    const long = clock({ startedAt: cutAt }, { amount: 30 * 24 })
    expect(stripOf(long, [], cutAt + 29 * DAY)).toMatchObject({ start: 0, before: 'torn', isBeyond: false })
    expect(stripOf(long, [], cutAt + DAY)).toMatchObject({ start: 0, end: 0, before: 'pointer' })
  })

  test('lies past the upright once lapsed, and beyond the axis after five days', () => {
    expect(stripOf(clock({ startedAt: cutAt }), [], dueAt + 7 * HOUR)).toMatchObject({
      end: placeOf(-7),
      isOver: true,
    })
    expect(stripOf(clock({ startedAt: cutAt }), [], dueAt + 6 * DAY)?.isBeyond).toBe(true)
  })

  test('ends where the clock stopped, or where the sample ended early', () => {
    const stopped = clock({ startedAt: cutAt, stoppedAt: dueAt - DAY })
    expect(stripOf(stopped, [], dueAt + DAY)).toMatchObject({
      end: placeOf(24),
      endKind: 'stop',
      isOver: false,
    })
    const ended = clock({ startedAt: cutAt, isEnded: true })
    expect(stripOf(ended, [], dueAt + DAY, cutAt + DAY)).toMatchObject({
      end: placeOf(216),
      endKind: 'ended',
      isOver: false,
    })
  })

  test('is none while its clock has not started', () => expect(stripOf(clock({}), [], dueAt)).toBeNull())
})
