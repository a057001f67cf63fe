import { describe, expect, test } from 'vitest'
import { computeStandingTimes, getOpenStanding, getSettledStanding } from '@/lib/hold/standing'
import { clock } from './places'

const standing = (clocks: Parameters<typeof computeStandingTimes>[0], now: number) =>
  getOpenStanding(computeStandingTimes(clocks), now)

describe('an open sample stands', () => {
  // Without a forecast: tight from 60 % of the time used, at risk from 85 %. The clock has 100 ms.
  test.each([
    [59, 'sound'],
    [60, 'tight'],
    [84, 'tight'],
    [85, 'at risk'],
    [100, 'at risk'],
    [101, 'lapsed'],
  ])('at %i of 100: %s', (now, expected) => {
    expect(standing([clock()], now)).toBe(expected)
  })

  test('lapsed at any time if a clock stopped late, though the others run', () => {
    const stopped = clock({ stoppedAt: 101 })
    expect(standing([stopped, clock({ dueAt: 1_000_000 })], 102)).toBe('lapsed')
  })

  test('by the worst of its running clocks', () => {
    expect(standing([clock({ dueAt: 1_000 }), clock({ dueAt: 100 })], 90)).toBe('at risk')
    expect(standing([clock({ dueAt: 1_000 }), clock({ dueAt: 100 })], 101)).toBe('lapsed')
  })

  test.each([
    ['one that was kept', { stoppedAt: 50 }],
    ['one that has not started', { startedAt: null, dueAt: null }],
    ['one whose stop was not reported', { isNotReported: true }],
    ['one that is unproven', { startedAt: null, dueAt: null, stoppedAt: 50 }],
  ])('sound for good by %s alone', (_, parts) => {
    expect(computeStandingTimes([clock(parts)])).toEqual({
      tightAt: null,
      atRiskAt: null,
      dueAt: null,
      hasLapsed: false,
    })
    expect(standing([clock(parts)], 1_000_000)).toBe('sound')
  })

  test('tight at once if a limit leaves no time at all', () => {
    expect(standing([clock({ dueAt: 0 })], 0)).toBe('at risk')
    expect(standing([clock({ dueAt: 0 })], 1)).toBe('lapsed')
  })
})

describe('a settled sample is', () => {
  const kept = clock({ stoppedAt: 100 })
  const lapsed = clock({ stoppedAt: 101 })
  const unproven = clock({ startedAt: 50, stoppedAt: 49 })
  const stillOpen = clock()

  test('lapsed if any clock lapsed, before all else', () => {
    expect(getSettledStanding([kept, unproven, lapsed], true, false)).toBe('lapsed')
    expect(getSettledStanding([kept, unproven, lapsed], false, false)).toBe('lapsed')
  })

  test('else ended if it ended', () => {
    expect(getSettledStanding([kept, unproven], true, false)).toBe('ended')
    expect(getSettledStanding([{ ...stillOpen, isEnded: true }], true, false)).toBe('ended')
    expect(getSettledStanding([], true, false)).toBe('ended')
  })

  test('else unproven if any clock is', () => {
    expect(getSettledStanding([kept, unproven], false, false)).toBe('unproven')
  })

  test('or is early, never started, or never stopped', () => {
    const early = clock({ stoppedAt: 50, earliestStopAt: 60 })
    const notStarted = clock({ startedAt: null, dueAt: null })
    for (const one of [early, notStarted, stillOpen])
      expect(getSettledStanding([kept, one], false, false)).toBe('unproven')
  })

  test('or if there is no limit, since nothing was to be kept', () => {
    expect(getSettledStanding([], false, false)).toBe('unproven')
  })

  test('or while it is in question', () => {
    expect(getSettledStanding([kept, kept], false, true)).toBe('unproven')
    expect(getSettledStanding([kept, lapsed], false, true)).toBe('lapsed')
    expect(getSettledStanding([kept, kept], true, true)).toBe('ended')
  })

  test('else kept', () => {
    expect(getSettledStanding([kept, kept], false, false)).toBe('kept')
  })
})
