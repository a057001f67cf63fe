import { DAY } from '@/lib/hold/zone'
import type { Observation } from '../model/observation'
import { controlOf } from './control'
import { chartOf, type LaneChart } from './laneChart'
import type { Pace } from './pace'
import type { RunRule } from './runRules'

/** A change of pace is news for so many days; then it is how the lane is. Chosen, no source. */
const NEWS_DAYS = 90
/** A change by less than this many open days is none that anyone has to act on. Chosen, no source. */
const LEAST_WORRYING = 0.25
/** So many of the newest points of a chart tell of now. */
const NEWEST_POINTS = 3
/** The rules that say which way weeks go. */
const ONE_SIDED: readonly RunRule[] = ['beyond the limits', 'nine on one side', 'six rising or falling']

/** What a watch over one lane has seen. */
export interface LaneWatch {
  pace: Pace
  /** Null where too few have arrived to draw limits. */
  chart: LaneChart | null
  /** The latest change of pace made the lane slower by a quarter of an open day or more, and is no older than 90 days. */
  isNewlySlower: boolean
  /** Rules that the newest points break on the slow side. */
  slowBreaks: RunRule[]
}

/**
 * The pace and the control chart of a lane, at `asOf` (ms UTC); `zone` tells the days of dispatch. While a change of
 * pace is news, or the new pace too short to know, limits come from what went before it; then from what came since.
 */
export function watchLane(
  observations: readonly Observation[],
  { zone, asOf }: { zone: string; asOf: number },
): LaneWatch {
  const { pace, chart: sinceBefore } = controlOf(observations, { zone })
  const { change } = pace
  const isNews = change !== null && asOf - change.sinceAt < NEWS_DAYS * DAY
  const isSettled = change !== null && !isNews && !pace.cannotTell
  const reference = isSettled ? observations.filter(({ startedAt }) => startedAt >= change.sinceAt) : null
  const chart = reference ? chartOf(observations, { zone, reference }) : sinceBefore
  return {
    pace,
    chart,
    isNewlySlower: isNews && change.direction === 'slower' && change.byDays >= LEAST_WORRYING,
    slowBreaks: ONE_SIDED.filter((rule) => breaksSlowly(rule, chart?.points ?? [])),
  }
}

/** Whether one of the newest points breaks a rule by being slower than usual, and for a run of rising points by rising. */
function breaksSlowly(rule: RunRule, points: LaneChart['points']): boolean {
  return points.some(({ score, breaks }, index) => {
    if (index < points.length - NEWEST_POINTS || score <= 0 || !breaks.includes(rule)) return false
    return rule !== 'six rising or falling' || score > (points[index - 1]?.score ?? score)
  })
}
