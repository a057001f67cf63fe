import { expect, test } from 'vitest'
import { buildClock } from '@/lib/hold/clock'
import { findEarliestStop } from '@/lib/hold/earliestStop'
import { limit, ms, places } from './places'

const HOUR = 3_600_000
const START = ms('2026-10-30T16:10:00Z')
const rest = (atLeast: number | undefined, facts: Parameters<typeof buildClock>[1]) =>
  buildClock(limit({ name: `${atLeast}`, amount: 72, unit: 'hours', atLeast }), facts, places())
const runs = { startedAt: START, stoppedAt: null }
const at = (hours: number) => START + hours * HOUR

test('the earliest stop of several clocks is the last of theirs', () => {
  const clocks = [rest(24, runs), rest(30, runs), rest(undefined, runs), rest(12, runs)]
  expect(findEarliestStop(clocks, 'loaded', at(1))).toBe(at(30))
  expect(findEarliestStop(clocks, 'loaded', at(40))).toBe(at(30))
})

test.each([
  ['stops with another milestone', rest(24, runs), 'reported', 1],
  ['has no least time', rest(undefined, runs), 'loaded', 1],
  ['has not started', rest(24, { startedAt: null, stoppedAt: null }), 'loaded', 1],
  ['has stopped', rest(24, { startedAt: START, stoppedAt: at(30) }), 'loaded', 1],
  ['has ended', rest(24, { ...runs, isEnded: true }), 'loaded', 1],
  ['is overrun', rest(24, runs), 'loaded', 73],
] as const)('a clock that %s asks nobody to wait', (_, clock, milestone, hours) => {
  expect(findEarliestStop([clock], milestone, at(hours))).toBeNull()
})
