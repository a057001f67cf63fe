import { type Clock, getClockState } from '@/lib/hold/clock'
import { MILESTONE_ORDER, type Milestone } from '@/lib/hold/milestone'
import { HOUR } from '@/lib/hold/zone'
import { AXIS_LEFT_HOURS, AXIS_OVER_HOURS, toStripX } from './timeLeftScale'

/** What a hold strip shows. Places are shares (0 to 1) of its width. */
export interface Strip {
  /** Where the line begins: the clock's start, or the axis' left end where it starts before that. */
  start: number
  /**
   * The line begins before the axis does: its end is drawn torn, or where the ring is too near for that, or beyond the
   * axis too, as a pointer to the left.
   */
  truncatedStart: 'torn' | 'pointer' | null
  /** The ring: now, or the clock's stop. */
  end: number
  /** The ring lies beyond the axis on its right. */
  isBeyond: boolean
  /** What stands at the end: now, the clock's stop, or the end of the sample, which is neither kept nor lapsed. */
  endKind: 'now' | 'stop' | 'ended'
  isOver: boolean
  marks: { milestone: Milestone; place: number }[]
}

/** How far from the axis' left end the ring must be for a torn end to be told from it, share of the width. */
const MIN_TRUNCATED_WIDTH = 0.03

/**
 * The strip of one clock at `now` (ms UTC) with the milestones inside it; null where it has not started. The clock
 * of a sample that ended early runs to `endedAt`.
 */
export function computeStrip(
  clock: Clock,
  milestones: readonly { milestone: Milestone; at: number }[],
  now: number,
  endedAt: number | null = null,
): Strip | null {
  const { startedAt, dueAt, stoppedAt } = clock
  if (startedAt === null || dueAt === null) return null
  const left = (at: number) => (dueAt - at) / HOUR
  const isEnded = stoppedAt === null && clock.isEnded && endedAt !== null
  const endAt = stoppedAt ?? (isEnded ? endedAt : now)
  const state = getClockState(clock, now)
  return {
    start: toStripX(left(startedAt)),
    truncatedStart:
      left(startedAt) <= AXIS_LEFT_HOURS
        ? null
        : toStripX(left(endAt)) > MIN_TRUNCATED_WIDTH
          ? 'torn'
          : 'pointer',
    end: toStripX(left(endAt)),
    isBeyond: left(endAt) < -AXIS_OVER_HOURS,
    endKind: stoppedAt !== null ? 'stop' : isEnded ? 'ended' : 'now',
    isOver: state === 'overrun' || state === 'lapsed',
    marks: milestones
      .filter(
        ({ at }) =>
          at >= startedAt && at <= endAt && left(at) <= AXIS_LEFT_HOURS && left(at) >= -AXIS_OVER_HOURS,
      )
      .map(({ milestone, at }) => ({ milestone, place: toStripX(left(at)) })),
  }
}

/** In whose days a clock's stop is forecast: the plant's up to the hand-over, the laboratory's after it. */
export function findStopTimeZone(clock: Clock | null, plantZone: string, laboratoryZone: string): string {
  const isAtPlant = clock !== null && MILESTONE_ORDER[clock.limit.to] <= MILESTONE_ORDER.dispatched
  return isAtPlant ? plantZone : laboratoryZone
}
