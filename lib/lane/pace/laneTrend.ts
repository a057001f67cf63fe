import { DAY } from '@/lib/hold/zone'
import type { Observation } from '../model/observation'
import { type ControlChart, computeControlChart } from './controlChart'
import type { Pace } from './pace'
import { computePaceControl } from './paceControl'
import type { RunRule } from './runRules'

/** A change of pace is news for so many days; then it is how the lane is. Chosen, no source. */
const RECENT_CHANGE_DAYS = 90
/** A change by less than this many open days is none that anyone has to act on. Chosen, no source. */
const MIN_SHIFT_DAYS = 0.25
/** So many of the newest points of a chart tell of now. */
const RECENT_POINTS = 3
/** The rules that say which way weeks go. */
const DIRECTIONAL_RULES: readonly RunRule[] = [
  'beyond the limits',
  'nine on one side',
  'six rising or falling',
]

/** What a watch over one lane has seen. */
export interface LaneTrend {
  pace: Pace
  /** Null where too few have arrived to draw limits. */
  chart: ControlChart | null
  /** The latest change of pace made the lane slower by a quarter of an open day or more, and is no older than 90 days. */
  isNewlySlower: boolean
  /** Rules that the newest points break on the slow side. */
  slowBreaks: RunRule[]
}

/**
 * The pace and the control chart of a lane, at `asOf` (ms UTC); `zone` tells the days of dispatch. While a change of
 * pace is news, or the new pace too short to know, limits come from what went before it; then from what came since.
 */
export function computeLaneTrend(
  observations: readonly Observation[],
  { zone, asOf }: { zone: string; asOf: number },
): LaneTrend {
  const { pace, chart: sinceBefore } = computePaceControl(observations, { zone })
  const { change } = pace
  const isNews = change !== null && asOf - change.sinceAt < RECENT_CHANGE_DAYS * DAY
  const isSettled = change !== null && !isNews && !pace.hasTooFewArrivals
  const reference = isSettled ? observations.filter(({ startedAt }) => startedAt >= change.sinceAt) : null
  const chart = reference ? computeControlChart(observations, { zone, reference }) : sinceBefore
  return {
    pace,
    chart,
    isNewlySlower: isNews && change.direction === 'slower' && change.shiftDays >= MIN_SHIFT_DAYS,
    slowBreaks: DIRECTIONAL_RULES.filter((rule) => isBrokenOnSlowSide(rule, chart?.points ?? [])),
  }
}

/** Whether one of the newest points breaks a rule by being slower than usual, and for a run of rising points by rising. */
function isBrokenOnSlowSide(rule: RunRule, points: ControlChart['points']): boolean {
  return points.some(({ score, breaks }, index) => {
    if (index < points.length - RECENT_POINTS || score <= 0 || !breaks.includes(rule)) return false
    return rule !== 'six rising or falling' || score > (points[index - 1]?.score ?? score)
  })
}
