import { buildClock, type ClockFacts, getClockState } from './clock'
import type { Places } from './due'
import type { Limit } from './limit'

/** The start or the stop of a clock whose exact time would decide its state, from after `afterAt` through `untilAt`, ms UTC. */
export interface UndecidedEnd {
  end: 'from' | 'to'
  afterAt: number
  untilAt: number
}

/**
 * The ends of a clock that can be read in several ways (a date alone, or reports that disagree) and whose state the exact
 * time would decide while the other is read as far from it, or as near, as it can be: at least one wherever readings disagree
 * on the state. Readings that put the stop before the start are left out where others do not. While a clock runs, it is
 * undecided from the due of the earliest start to that of the latest.
 */
export function findUndecidedEnds(limit: Limit, facts: ClockFacts, places: Places): UndecidedEnd[] {
  const { startedAt, stoppedAt, startedLatestAt = startedAt, stoppedEarliestAt = stoppedAt } = facts
  if (startedAt === null || startedLatestAt === null) return []
  if (startedAt === startedLatestAt && stoppedAt === stoppedEarliestAt) return []
  const readAs = (start: number, stop: number | null) =>
    buildClock(
      limit,
      {
        ...facts,
        startedAt: start,
        startedLatestAt: start,
        stoppedAt: stop,
        stoppedEarliestAt: stop,
      },
      places,
    )
  if (stoppedAt === null || stoppedEarliestAt === null) {
    if (facts.isEnded || facts.isNotReported) return []
    const [afterAt, untilAt] = [readAs(startedAt, null).dueAt, readAs(startedLatestAt, null).dueAt]
    return afterAt !== null && untilAt !== null && afterAt < untilAt
      ? [{ end: 'from', afterAt, untilAt }]
      : []
  }
  if (stoppedAt < startedAt) return []
  // The longest time that the readings allow, and the shortest.
  const lastStart = Math.min(startedLatestAt, stoppedAt)
  const starts = [startedAt, lastStart]
  const stops = [stoppedAt, Math.max(stoppedEarliestAt, lastStart)]
  const judge = (start: number, stop: number) => getClockState(readAs(start, stop), Number.NEGATIVE_INFINITY)
  const differ = (states: string[]) => new Set(states).size > 1
  const always = { afterAt: Number.NEGATIVE_INFINITY, untilAt: Number.POSITIVE_INFINITY }
  const ends: UndecidedEnd[] = []
  if (stops.some((stop) => differ(starts.map((start) => judge(start, stop)))))
    ends.push({ end: 'from', ...always })
  if (starts.some((start) => differ(stops.map((stop) => judge(start, stop)))))
    ends.push({ end: 'to', ...always })
  return ends
}
