import { computeDueAt, type Places } from './due'
import type { Limit } from './limit'

export type ClockState = 'not started' | 'running' | 'overrun' | 'kept' | 'lapsed' | 'ended' | 'unproven'

/** A clock apart from time: all of it but the state, which is a comparison with now. Instants in ms UTC. */
export interface Clock {
  limit: Limit
  startedAt: number | null
  stoppedAt: number | null
  /** The last instant at which it may stop, extension included; null while it has no start. */
  dueAt: number | null
  /** The due before it was extended; null where it was not. */
  firstDueAt: number | null
  /** The sample ended before this clock stopped. */
  isEnded: boolean
  /** A start or a stop is missing though a later milestone was reported: the time is asked for. */
  isNotReported: boolean
}

export interface ClockFacts {
  startedAt: number | null
  stoppedAt: number | null
  /** New due by extension, ms UTC. */
  extendedDueAt?: number | null
  isEnded?: boolean
  isNotReported?: boolean
}

/** The clock of one limit on one sample, from its facts. Times in ms UTC. */
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

/** The state of a clock at `now` (ms UTC). Equal is in time: a stop at the due is kept, one at the start proves. */
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
