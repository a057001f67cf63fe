import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { buildClock, type ClockFacts, getClockState } from '@/lib/hold/clock'
import type { LimitFields } from '@/lib/hold/limit'
import { findUndecidedEnds } from '@/lib/hold/undecided'
import { limit, ms, places } from './places'

const HOUR = 3_600_000
const at = (hour: number) => ms('2026-10-30T00:00:00Z') + hour * HOUR

/** Facts of readings in hours: a start and a stop, each from an earliest to a latest. */
const facts = (
  start: readonly [number, number],
  stop: readonly [number, number] | null,
  more: Partial<ClockFacts> = {},
): ClockFacts => ({
  startedAt: at(start[0]),
  startedLatestAt: at(start[1]),
  stoppedAt: stop && at(stop[1]),
  stoppedEarliestAt: stop && at(stop[0]),
  ...more,
})
const ends = (parts: Partial<LimitFields>, said: ClockFacts) =>
  findUndecidedEnds(limit(parts), said, places()).map(({ end }) => end)

describe('the exact time decides', () => {
  test('of a start or a stop known by its day, where the hours allowed end within it', () => {
    expect(ends({ amount: 24 }, facts([0, 24], [30, 30]))).toEqual(['from'])
    expect(ends({ amount: 24 }, facts([0, 0], [12, 36]))).toEqual(['to'])
    expect(ends({ amount: 24 }, facts([0, 10], [24, 34]))).toEqual(['from', 'to'])
  })

  test('where a least time may be over or not', () => {
    expect(ends({ amount: 72, atLeast: 24 }, facts([0, 0], [12, 36]))).toEqual(['to'])
    expect(ends({ amount: 72, atLeast: 24 }, facts([0, 0], [24, 36]))).toEqual([])
  })

  test('of nothing where every reading says the same', () => {
    expect(ends({ amount: 24 }, facts([0, 10], [12, 24]))).toEqual([])
    expect(ends({ amount: 24 }, facts([0, 10], [35, 60]))).toEqual([])
    expect(ends({ amount: 5, unit: 'days', counting: 'calendar' }, facts([6, 26], [100, 110]))).toEqual([])
  })

  test('of nothing where only a stop before its start would differ', () => {
    // Cut and sealed on the same day, both known by it alone.
    expect(ends({ amount: 24 }, facts([0, 24], [0, 24]))).toEqual([])
    expect(ends({ amount: 24 }, facts([10, 12], [0, 5]))).toEqual([])
  })

  test('of a start while its clock runs, between the dues of its readings', () => {
    const said = facts([0, 24], null)
    expect(findUndecidedEnds(limit({ amount: 24 }), said, places())).toEqual([
      { end: 'from', afterAt: at(24), untilAt: at(48) },
    ])
    expect(ends({ amount: 24 }, { ...said, isEnded: true })).toEqual([])
    expect(ends({ amount: 24 }, { ...said, isNotReported: true })).toEqual([])
  })

  test('of nothing without a start', () => {
    const said = { startedAt: null, stoppedAt: at(5), stoppedEarliestAt: at(1) }
    expect(ends({ amount: 24 }, said)).toEqual([])
  })
})

test('what decides is found by a trial of every pair of exact times, and something is wherever these disagree', () => {
  const span = fc
    .tuple(fc.nat(60), fc.constantFrom(0, 0, 3, 12, 24))
    .map(([from, hours]) => [from, from + hours] as const)
  const unit = fc.constantFrom<Partial<LimitFields>>(
    { unit: 'hours', amount: 30, atLeast: 10 },
    { unit: 'hours', amount: 20 },
    { unit: 'days', counting: 'calendar', amount: 2, atLeast: 1 },
    { unit: 'days', counting: 'elapsed', amount: 1, atLeast: 1 },
    { unit: 'working days', amount: 1, atLeast: 1 },
  )
  const list = ([from, to]: readonly [number, number]) =>
    Array.from({ length: to - from + 1 }, (_, index) => from + index)
  const found = { none: 0, some: 0 }
  fc.assert(
    fc.property(unit, span, span, (parts, start, stop) => {
      const state = (from: number, to: number) =>
        getClockState(
          buildClock(limit(parts), { startedAt: at(from), stoppedAt: at(to) }, places()),
          Number.POSITIVE_INFINITY,
        )
      const decides = (ones: number[], others: number[], judge: (one: number, other: number) => string) =>
        others.some((other) => {
          const states = new Set(ones.map((one) => judge(one, other)))
          states.delete('unproven')
          return states.size > 1
        })
      const [starts, stops] = [list(start), list(stop)]
      const expected = [
        ...(decides(starts, stops, state) ? ['from'] : []),
        ...(decides(stops, starts, (to, from) => state(from, to)) ? ['to'] : []),
      ]
      const named = ends(parts, facts(start, stop))
      found[named.length > 0 ? 'some' : 'none'] += 1
      expect(expected).toEqual(expect.arrayContaining(named))
      expect(named.length > 0).toBe(expected.length > 0)
    }),
    { numRuns: 500 },
  )
  expect(Math.min(found.none, found.some)).toBeGreaterThan(25)
})
