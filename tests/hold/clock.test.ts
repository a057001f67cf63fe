import { describe, expect, test } from 'vitest'
import { buildClock, type ClockFacts, type Grant, getClockState } from '@/lib/hold/clock'
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

const tenHours = limit({ amount: 10, unit: 'hours' })
const extend = (...grants: Grant[]) =>
  buildClock(tenHours, { startedAt: 0, stoppedAt: null, grants }, places())

describe('a clock from its facts', () => {
  test('has a due if it has a start', () => {
    expect(buildClock(tenHours, { startedAt: 0, stoppedAt: null }, places())).toMatchObject({
      dueAt: 10 * HOUR,
      firstDueAt: null,
    })
    expect(buildClock(tenHours, { startedAt: 20, stoppedAt: 10 }, places()).dueAt).toBe(20 + 10 * HOUR)
    expect(buildClock(tenHours, { startedAt: null, stoppedAt: 10 }, places()).dueAt).toBeNull()
  })

  test('takes the due of an extension, and keeps the first one visible', () => {
    const extended = extend({ grantedAt: HOUR, untilAt: 30 * HOUR })
    expect(extended).toMatchObject({ dueAt: 30 * HOUR, firstDueAt: 10 * HOUR })
    expect(getClockState({ ...extended, stoppedAt: 30 * HOUR }, LATE)).toBe('kept')
    expect(getClockState({ ...extended, stoppedAt: 30 * HOUR + 1 }, LATE)).toBe('lapsed')
  })

  test('takes none that came after its first due: what has lapsed stays so', () => {
    expect(extend({ grantedAt: 10 * HOUR, untilAt: 30 * HOUR }).dueAt).toBe(30 * HOUR)
    expect(extend({ grantedAt: 10 * HOUR + 1, untilAt: 30 * HOUR })).toMatchObject({
      dueAt: 10 * HOUR,
      firstDueAt: null,
    })
  })

  test('holds each of several against its first due, not against an extended one', () => {
    const first = { grantedAt: HOUR, untilAt: 30 * HOUR }
    const second = { grantedAt: 2 * HOUR, untilAt: 20 * HOUR }
    const late = { grantedAt: 20 * HOUR, untilAt: 60 * HOUR }
    expect(extend(first, second, late).dueAt).toBe(20 * HOUR)
  })

  test('takes none if its limit cannot be extended', () => {
    const grants = [{ grantedAt: HOUR, untilAt: 30 * HOUR }]
    const facts = { startedAt: 0, stoppedAt: null, grants }
    expect(buildClock({ ...tenHours, extendable: false }, facts, places()).dueAt).toBe(10 * HOUR)
    expect(buildClock({ ...tenHours, extendable: true }, facts, places()).dueAt).toBe(30 * HOUR)
  })

  test('is not started by an extension', () => {
    const grants = [{ grantedAt: 0, untilAt: 30 * HOUR }]
    const extended = buildClock(tenHours, { startedAt: null, stoppedAt: null, grants }, places())
    expect(extended).toMatchObject({ dueAt: null, firstDueAt: null })
    expect(getClockState(extended, LATE)).toBe('not started')
  })
})

describe('a clock with a least time', () => {
  const rest = limit({ amount: 72, atLeast: 24, unit: 'hours' })
  const state = (facts: Partial<ClockFacts>) =>
    getClockState(buildClock(rest, { startedAt: 0, stoppedAt: null, ...facts }, places()), LATE)

  test('is early when it stops before that is over, and kept from then on', () => {
    expect(state({ stoppedAt: 24 * HOUR - 1 })).toBe('early')
    expect(state({ stoppedAt: 24 * HOUR })).toBe('kept')
  })

  test('is unproven or lapsed rather than early', () => {
    expect(state({ stoppedAt: -1 })).toBe('unproven')
    expect(state({ stoppedAt: 73 * HOUR, stoppedEarliestAt: HOUR })).toBe('lapsed')
  })

  test('holds the earliest reading of its stop against the latest of its start', () => {
    expect(state({ startedLatestAt: 2 * HOUR, stoppedAt: 26 * HOUR - 1 })).toBe('early')
    expect(state({ startedLatestAt: 2 * HOUR, stoppedAt: 26 * HOUR })).toBe('kept')
    expect(state({ stoppedEarliestAt: 24 * HOUR - 1, stoppedAt: 30 * HOUR })).toBe('early')
  })

  test('has an earliest stop only with a start', () => {
    expect(buildClock(rest, { startedAt: null, stoppedAt: 5 }, places()).earliestStopAt).toBeNull()
    expect(buildClock(tenHours, { startedAt: 0, stoppedAt: 5 }, places()).earliestStopAt).toBeNull()
  })
})
