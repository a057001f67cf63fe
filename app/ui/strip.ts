import { type Clock, getClockState } from '@/lib/hold/clock'
import { MILESTONE_ORDER, type Milestone } from '@/lib/hold/milestone'
import { HOUR } from '@/lib/hold/zone'
import { AXIS_LEFT_HOURS, AXIS_OVER_HOURS, toStripX } from './timeLeftScale'

/** The shapes of a hold strip. Places are shares (0 to 1) of its width. */
export interface Strip {
  /** The start of the line: the clock's start, or the axis's left end if the clock started before it. */
  start: number
  /**
   * The clock started before the axis does: the end is drawn torn, or as a pointer to the left if the ring is
   * too close for that or left of the axis, too.
   */
  truncatedStart: 'torn' | 'pointer' | null
  /** The ring: now, or the clock's stop. */
  end: number
  /** The ring is past the right end of the axis. */
  isBeyond: boolean
  /** The mark at the end: now, the clock's stop, or the end of the sample, which is neither kept nor lapsed. */
  endKind: 'now' | 'stop' | 'ended'
  isOver: boolean
  marks: { milestone: Milestone; place: number }[]
}

/** Minimum distance of the ring from the axis's left end to draw a torn end, share of the width. */
const MIN_TRUNCATED_WIDTH = 0.03

/**
 * The strip of one clock at `now` (ms UTC) with the milestones inside it; null if it has not started. The clock
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

/** A stop up to the hand-over is forecast in the plant's days, a later one in the laboratory's. */
export function findStopTimeZone(clock: Clock | null, plantZone: string, laboratoryZone: string): string {
  const isAtPlant = clock !== null && MILESTONE_ORDER[clock.limit.to] <= MILESTONE_ORDER.dispatched
  return isAtPlant ? plantZone : laboratoryZone
}
