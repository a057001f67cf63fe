import { computeDueAt, type Places } from './due'
import type { Limit } from './limit'

export type ClockState = 'not started' | 'running' | 'overrun' | 'kept' | 'lapsed' | 'ended' | 'unproven'

/** One hold limit running on one sample. Its state is not stored: it is a comparison with now. Instants in ms UTC. */
export interface Clock {
  limit: Limit
  startedAt: number | null
  stoppedAt: number | null
  /** The last instant at which it may stop, extension included; null without a start. */
  dueAt: number | null
  /** The due before an extension; null if there was none. */
  firstDueAt: number | null
  /** The sample ended before this clock stopped. */
  isEnded: boolean
  /** The start or the stop is missing though a later milestone was reported: someone has to give its time. */
  isNotReported: boolean
}

export interface ClockFacts {
  startedAt: number | null
  stoppedAt: number | null
  /** The due by extension, ms UTC. */
  extendedDueAt?: number | null
  isEnded?: boolean
  isNotReported?: boolean
}

export function buildClock(limit: Limit, facts: ClockFacts, places: Places): Clock {
  const due = facts.startedAt === null ? null : computeDueAt(limit, facts.startedAt, places)
  const isExtended = due !== null && facts.extendedDueAt !== undefined && facts.extendedDueAt !== null
  return {
    limit,
    startedAt: facts.startedAt,
    stoppedAt: facts.stoppedAt,
    dueAt: isExtended ? (facts.extendedDueAt as number) : due,
    firstDueAt: isExtended ? due : null,
    isEnded: facts.isEnded ?? false,
    isNotReported: facts.isNotReported ?? false,
  }
}

/** The state at `now` (ms UTC). Equal is in time: a stop at the due is kept, and a stop at the start is proven. */
export function getClockState(clock: Clock, now: number): ClockState {
  const { startedAt, stoppedAt, dueAt } = clock
  if (stoppedAt !== null) {
    if (startedAt === null || dueAt === null || stoppedAt < startedAt) return 'unproven'
    return stoppedAt <= dueAt ? 'kept' : 'lapsed'
  }
  if (startedAt === null || dueAt === null) return 'not started'
  if (clock.isEnded) return 'ended'
  return now > dueAt ? 'overrun' : 'running'
}
