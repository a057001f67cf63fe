import { buildClock, type Clock, getClockState } from '@/lib/hold/clock'
import type { Limit } from '@/lib/hold/limit'
import { MILESTONE_ORDER, MILESTONES, type Milestone } from '@/lib/hold/milestone'
import { DAY, findInstants, HOUR, toLocalDay } from '@/lib/hold/zone'
import { ARRIVAL_BY_ENDING, findKnownAt, type Journey, type Known } from '../model/journey'
import type { Places } from '../model/places'

/** A sample's life as reported, and its hold limits. */
export interface Subject {
  journey: Journey
  limits: readonly Limit[]
}

/**
 * The outcome of one limit on one sample, and the moments at which its forecast is tested. Instants in ms UTC.
 */
export interface Trial {
  journey: Journey
  limit: Limit
  dispatchedAt: number
  dueAt: number
  /** Null if it never stopped. */
  stoppedAt: number | null
  isLate: boolean
  moments: Moment[]
}

/** A time of forecast, and what was known of the clock then. */
export interface Moment {
  at: number
  clock: Clock
  known: Known
  /** Open days of the laboratory after the day of dispatch. */
  openDays: number
  /** The last milestone from the dispatch on that was known then. */
  phase: Milestone
}

/** Why a limit on a sample is not tested. */
export type Untried =
  | 'never dispatched'
  | 'never started'
  | 'stopped before the dispatch was known'
  | 'due not a week past'
  | 'rejected or cancelled'
  | 'stop not reported'

/** An outcome counts a week after its due, kept or late, so that late reports have come. */
const SETTLING_TIME = 7 * DAY
/** The limit of moments for very long limits. */
const MAX_OPEN_DAYS = 60

/**
 * A limit on a sample as a test of its forecast, or why it is none. Its moments are the dispatch, as soon as it
 * was known, and noon of each open day of the laboratory after it while the clock was known to run.
 *
 * The outcome is what is known at `now` (ms UTC): late if the stop came after the due or never, by loss, return
 * or silence. Extensions do not count, because the forecast was for the first due. A rejected sample has
 * arrived; a cancelled one has no outcome.
 */
export function createTrial(journey: Journey, limit: Limit, places: Places, now: number): Trial | Untried {
  const { milestones, ending } = findKnownAt(journey, now)
  const dispatchedAt = milestones.get('dispatched')?.earliestAt
  if (dispatchedAt === undefined) return 'never dispatched'
  const clock = computeKnownClock(journey, limit, { milestones, ending }, places)
  if (clock.dueAt === null) return 'never started'
  if (clock.dueAt + SETTLING_TIME > now) return 'due not a week past'
  if (clock.stoppedAt === null && clock.isNotReported) return 'stop not reported'
  let stoppedAt = clock.stoppedAt
  if (stoppedAt === null && ending !== null && ARRIVAL_BY_ENDING[ending.kind] !== 'never comes') {
    const isArrival = ARRIVAL_BY_ENDING[ending.kind] === 'came' && limit.to === 'received'
    if (!isArrival) return 'rejected or cancelled'
    stoppedAt = ending.at
  }
  const moments = listMoments(journey, limit, places, dispatchedAt, clock.dueAt)
  if (moments.length === 0) return 'stopped before the dispatch was known'
  const isLate = stoppedAt === null || stoppedAt > clock.dueAt
  return { journey, limit, dispatchedAt, dueAt: clock.dueAt, stoppedAt, isLate, moments }
}

function listMoments(
  journey: Journey,
  limit: Limit,
  places: Places,
  dispatchedAt: number,
  dueAt: number,
): Moment[] {
  const calendar = places.calendar(journey.laboratory)
  const heardAt = Math.max(
    dispatchedAt,
    Math.min(...journey.reports.filter(isDispatch).map(({ knownAt }) => knownAt)),
  )
  const moments: Moment[] = []
  const tryAt = (at: number, openDays: number) => {
    const known = findKnownAt(journey, at)
    if (!known.milestones.has('dispatched')) return
    const clock = computeKnownClock(journey, limit, known, places)
    if (clock.isNotReported || known.ending !== null || getClockState(clock, at) !== 'running') return
    moments.push({ at, clock, known, openDays, phase: findPhase(known) })
  }
  tryAt(heardAt, 0)
  let day = toLocalDay(dispatchedAt, calendar.zone)
  for (let openDays = 0; openDays < MAX_OPEN_DAYS; ) {
    day += 1
    const noon = findInstants(day * DAY + 12 * HOUR, calendar.zone).instants[0] as number
    if (noon > dueAt) break
    if (!calendar.isOpen(day)) continue
    openDays += 1
    if (noon > heardAt) tryAt(noon, openDays)
  }
  return moments
}

const isDispatch = ({ milestone }: { milestone: Milestone }) => milestone === 'dispatched'

/** The clock of a limit from what was known, without extensions. */
function computeKnownClock(
  journey: Journey,
  limit: Limit,
  { milestones, ending }: Known,
  places: Places,
): Clock {
  const isMissing = (milestone: Milestone) =>
    !milestones.has(milestone) &&
    MILESTONES.some((later) => MILESTONE_ORDER[later] > MILESTONE_ORDER[milestone] && milestones.has(later))
  return buildClock(
    limit,
    {
      startedAt: milestones.get(limit.from)?.earliestAt ?? null,
      stoppedAt: milestones.get(limit.to)?.latestAt ?? null,
      isEnded: ending !== null,
      isNotReported: isMissing(limit.from) || isMissing(limit.to),
    },
    { plantZone: places.plantZone(journey.plant), laboratory: places.calendar(journey.laboratory) },
  )
}

function findPhase({ milestones }: Known): Milestone {
  return MILESTONES.findLast((milestone) => milestones.has(milestone)) as Milestone
}
