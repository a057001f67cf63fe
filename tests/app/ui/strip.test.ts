import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { computeStrip } from '@/app/ui/strip'
import { AXIS_LEFT_HOURS, compressHours, LIMIT_X, toStripX } from '@/app/ui/timeLeftScale'
import { DAY, HOUR } from '@/lib/hold/zone'
import { clock } from '../sampleRows'

const cutAt = Date.parse('2026-11-02T10:00:00Z')
const dueAt = cutAt + 10 * DAY

describe('the scale of time left', () => {
  test('is asinh of the hours in days, and keeps the sign', () => {
    expect(compressHours(0)).toBe(0)
    expect(compressHours(24)).toBeCloseTo(Math.log(1 + Math.SQRT2), 12)
    expect(compressHours(-24)).toBe(-compressHours(24))
  })

  test('has the limit at LIMIT_X, and its ends at the ends of the axis', () => {
    expect(toStripX(0)).toBe(LIMIT_X)
    expect(toStripX(AXIS_LEFT_HOURS)).toBe(0)
    expect(toStripX(AXIS_LEFT_HOURS * 9)).toBe(0)
    expect(toStripX(-1000)).toBe(toStripX(-5 * 24))
  })

  test('gives the last two days nearly half of the width before the limit', () => {
    const share = (LIMIT_X - toStripX(48)) / LIMIT_X
    expect(share).toBeGreaterThan(0.4)
    expect(share).toBeLessThan(0.5)
  })

  test('puts less time left nearer to the limit, always', () => {
    const hours = fc.double({ min: -120, max: AXIS_LEFT_HOURS, noNaN: true })
    // But for the last bits of a float.
    fc.assert(
      fc.property(hours, hours, (a, b) => toStripX(Math.min(a, b)) >= toStripX(Math.max(a, b)) - 1e-12),
    )
  })
})

describe('a hold strip', () => {
  test('runs from the start of its clock to now, with the milestones in between', () => {
    const strip = computeStrip(
      clock({ startedAt: cutAt }),
      [
        { milestone: 'produced', at: cutAt - HOUR },
        { milestone: 'collected', at: cutAt },
        { milestone: 'dispatched', at: cutAt + DAY },
      ],
      dueAt - 50 * HOUR,
    )
    expect(strip).toMatchObject({
      start: toStripX(240),
      end: toStripX(50),
      endKind: 'now',
      truncatedStart: null,
      isOver: false,
    })
    expect(strip?.marks).toEqual([
      { milestone: 'collected', place: toStripX(240) },
      { milestone: 'dispatched', place: toStripX(216) },
    ])
  })

  test('is torn where it begins before the axis', () => {
    const long = clock({ startedAt: cutAt }, { amount: 30 * 24 })
    expect(computeStrip(long, [], cutAt + 29 * DAY)).toMatchObject({
      start: 0,
      truncatedStart: 'torn',
      isBeyond: false,
    })
    expect(computeStrip(long, [], cutAt + DAY)).toMatchObject({ start: 0, end: 0, truncatedStart: 'pointer' })
  })

  test('is past the limit once lapsed, and beyond the axis after five days', () => {
    expect(computeStrip(clock({ startedAt: cutAt }), [], dueAt + 7 * HOUR)).toMatchObject({
      end: toStripX(-7),
      isOver: true,
    })
    expect(computeStrip(clock({ startedAt: cutAt }), [], dueAt + 6 * DAY)?.isBeyond).toBe(true)
  })

  test('ends where the clock stopped, or where the sample ended early', () => {
    const stopped = clock({ startedAt: cutAt, stoppedAt: dueAt - DAY })
    expect(computeStrip(stopped, [], dueAt + DAY)).toMatchObject({
      end: toStripX(24),
      endKind: 'stop',
      isOver: false,
    })
    const ended = clock({ startedAt: cutAt, isEnded: true })
    expect(computeStrip(ended, [], dueAt + DAY, cutAt + DAY)).toMatchObject({
      end: toStripX(216),
      endKind: 'ended',
      isOver: false,
    })
  })

  test('is null while its clock has not started', () => expect(computeStrip(clock({}), [], dueAt)).toBeNull())
})
