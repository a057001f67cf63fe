import { describe, expect, test } from 'vitest'
import { buildClock, getClockState } from '@/lib/hold/clock'
import { clock, limit, places } from './places'

const HOUR = 3_600_000
const EARLY = Number.NEGATIVE_INFINITY
const LATE = Number.POSITIVE_INFINITY

describe('the state of a clock', () => {
  test('without start and stop is not started, even when the sample has ended', () => {
    const facts = { startedAt: null, dueAt: null }
    expect(getClockState(clock(facts), 50)).toBe('not started')
    expect(getClockState(clock({ ...facts, isEnded: true }), 50)).toBe('not started')
  })

  test('with a stop but no start is unproven', () => {
    expect(getClockState(clock({ startedAt: null, dueAt: null, stoppedAt: 50 }), 60)).toBe('unproven')
  })

  test('with a stop before its start is unproven; one at its start is not', () => {
    expect(getClockState(clock({ startedAt: 50, stoppedAt: 49 }), 60)).toBe('unproven')
    expect(getClockState(clock({ startedAt: 50, stoppedAt: 50 }), 60)).toBe('kept')
  })

  test('is kept when it stops at its due, and lapsed a millisecond later', () => {
    expect(getClockState(clock({ stoppedAt: 100 }), LATE)).toBe('kept')
    expect(getClockState(clock({ stoppedAt: 101 }), LATE)).toBe('lapsed')
  })

  test('of a stopped clock does not depend on now, nor on an ending', () => {
    for (const now of [EARLY, 0, 100, LATE]) {
      expect(getClockState(clock({ stoppedAt: 100, isEnded: true }), now)).toBe('kept')
      expect(getClockState(clock({ stoppedAt: 101, isEnded: true }), now)).toBe('lapsed')
    }
  })

  test('runs through its due, and is overrun a millisecond later', () => {
    expect(getClockState(clock(), 100)).toBe('running')
    expect(getClockState(clock(), 101)).toBe('overrun')
  })

  test('is ended when the sample is, be it before or after the due', () => {
    expect(getClockState(clock({ isEnded: true }), 50)).toBe('ended')
    expect(getClockState(clock({ isEnded: true }), 500)).toBe('ended')
  })
})

describe('a clock from its facts', () => {
  const tenHours = limit({ amount: 10, unit: 'hours' })

  test('has a due if it has a start', () => {
    expect(buildClock(tenHours, { startedAt: 0, stoppedAt: null }, places())).toMatchObject({
      dueAt: 10 * HOUR,
      firstDueAt: null,
    })
    expect(buildClock(tenHours, { startedAt: 20, stoppedAt: 10 }, places()).dueAt).toBe(20 + 10 * HOUR)
    expect(buildClock(tenHours, { startedAt: null, stoppedAt: 10 }, places()).dueAt).toBeNull()
  })

  test('takes the due of an extension, and keeps the first one visible', () => {
    const extended = buildClock(
      tenHours,
      { startedAt: 0, stoppedAt: null, extendedDueAt: 30 * HOUR },
      places(),
    )
    expect(extended).toMatchObject({ dueAt: 30 * HOUR, firstDueAt: 10 * HOUR })
    expect(getClockState({ ...extended, stoppedAt: 30 * HOUR }, LATE)).toBe('kept')
    expect(getClockState({ ...extended, stoppedAt: 30 * HOUR + 1 }, LATE)).toBe('lapsed')
  })

  test('is not started by an extension', () => {
    const extended = buildClock(
      tenHours,
      { startedAt: null, stoppedAt: null, extendedDueAt: 30 * HOUR },
      places(),
    )
    expect(extended).toMatchObject({ dueAt: null, firstDueAt: null })
    expect(getClockState(extended, LATE)).toBe('not started')
  })
})
