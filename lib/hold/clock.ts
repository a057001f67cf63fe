import { computeDueAt, computeEarliestStopAt, type Places } from './due'
import type { Limit } from './limit'

export type ClockState =
  | 'not started'
  | 'running'
  | 'overrun'
  | 'early'
  | 'kept'
  | 'lapsed'
  | 'ended'
  | 'unproven'

/** One hold limit running on one sample. Its state is not stored: it is a comparison with now. Instants in ms UTC. */
export interface Clock {
  limit: Limit
  /** The earliest reading of its start. */
  startedAt: number | null
  /** The latest reading of its stop. */
  stoppedAt: number | null
  /** The earliest reading of its stop: a least time is held against it. */
  stoppedEarliestAt: number | null
  /** The first instant at which it may stop, from the latest reading of its start; null without a least time or a start. */
  earliestStopAt: number | null
  /** The last instant at which it may stop, extension included; null without a start. */
  dueAt: number | null
  /** The due before an extension; null if there was none. */
  firstDueAt: number | null
  /** The sample ended before this clock stopped. */
  isEnded: boolean
  /** The start or the stop is missing though a later milestone was reported: someone has to give its time. */
  isNotReported: boolean
}

/** A later due that was granted. Instants in ms UTC. */
export interface Grant {
  /** Earliest reading. */
  grantedAt: number
  untilAt: number
}

export interface ClockFacts {
  startedAt: number | null
  /** The latest reading of the start; absent: there is only one. */
  startedLatestAt?: number | null
  stoppedAt: number | null
  /** The earliest reading of the stop; absent: there is only one. */
  stoppedEarliestAt?: number | null
  /** Extensions: of those that count, the last stands. */
  grants?: readonly Grant[]
  isEnded?: boolean
  isNotReported?: boolean
}

export function buildClock(limit: Limit, facts: ClockFacts, places: Places): Clock {
  const { startedAt, stoppedAt, startedLatestAt = startedAt, stoppedEarliestAt = stoppedAt } = facts
  const due = startedAt === null ? null : computeDueAt(limit, startedAt, places)
  const grant =
    due === null ? undefined : facts.grants?.findLast(({ grantedAt }) => mayExtend(limit, due, grantedAt))
  return {
    limit,
    startedAt,
    stoppedAt,
    stoppedEarliestAt,
    earliestStopAt: startedLatestAt === null ? null : computeEarliestStopAt(limit, startedLatestAt, places),
    dueAt: grant ? grant.untilAt : due,
    firstDueAt: grant ? due : null,
    isEnded: facts.isEnded ?? false,
    isNotReported: facts.isNotReported ?? false,
  }
}

/** Whether an extension counts that is granted at `grantedAt` (ms UTC): what has lapsed stays so. */
export function mayExtend({ extendable }: Limit, firstDueAt: number, grantedAt: number): boolean {
  return extendable !== false && grantedAt <= firstDueAt
}

/** Whether an extension that is granted at `now` (ms UTC) would count: its clock has not stopped, and is not over. */
export function canBeExtended(clock: Clock, now: number): boolean {
  const firstDueAt = getFirstDueAt(clock) ?? Number.POSITIVE_INFINITY
  return clock.stoppedAt === null && !clock.isEnded && mayExtend(clock.limit, firstDueAt, now)
}

/** Its due without any extension, ms UTC; null without a start. */
export function getFirstDueAt({ firstDueAt, dueAt }: Clock): number | null {
  return firstDueAt ?? dueAt
}

/** The state at `now` (ms UTC). Equal is in time: a stop at the due is kept, and a stop at the start is proven. */
export function getClockState(clock: Clock, now: number): ClockState {
  const { startedAt, stoppedAt, dueAt } = clock
  if (stoppedAt !== null) {
    if (startedAt === null || dueAt === null || stoppedAt < startedAt) return 'unproven'
    if (stoppedAt > dueAt) return 'lapsed'
    return isEarly(clock) ? 'early' : 'kept'
  }
  if (startedAt === null || dueAt === null) return 'not started'
  if (clock.isEnded) return 'ended'
  return now > dueAt ? 'overrun' : 'running'
}

function isEarly({ stoppedEarliestAt, earliestStopAt }: Clock): boolean {
  return stoppedEarliestAt !== null && earliestStopAt !== null && stoppedEarliestAt < earliestStopAt
}
