import { DAY } from '@/lib/hold/zone'
import type { Observation } from '../model/observation'
import { type ControlChart, computeControlChart } from './controlChart'
import type { Pace } from './pace'
import { computePaceControl } from './paceControl'
import type { RunRule } from './runRules'

/** A change of pace is news for this many days. Chosen, no source. */
const RECENT_CHANGE_DAYS = 90
/** A smaller change, in open days, needs no action. Chosen, no source. */
const MIN_SHIFT_DAYS = 0.25
/** Points of a chart that count as recent. */
const RECENT_POINTS = 3
/** The rules that have a direction. */
const DIRECTIONAL_RULES: readonly RunRule[] = [
  'beyond the limits',
  'nine on one side',
  'six rising or falling',
]

/** A lane's pace and control chart, and what in them is new and slow. */
export interface LaneTrend {
  pace: Pace
  /** Null if too few have arrived to draw limits. */
  chart: ControlChart | null
  /** The latest change made the lane slower by a quarter of an open day or more, and is at most 90 days old. */
  isNewlySlower: boolean
  /** Rules that recent points break on the slow side. */
  slowBreaks: RunRule[]
}

/**
 * As of `asOf` (ms UTC); days of dispatch are counted in `zone`. While a change of pace is news, or the new
 * pace has too few arrivals, limits come from before it; afterwards from since then.
 */
export function computeLaneTrend(
  observations: readonly Observation[],
  { zone, asOf }: { zone: string; asOf: number },
): LaneTrend {
  const { pace, chart: wholeChart } = computePaceControl(observations, { zone })
  const { change } = pace
  const isNews = change !== null && asOf - change.sinceAt < RECENT_CHANGE_DAYS * DAY
  const isSettled = change !== null && !isNews && !pace.hasTooFewArrivals
  const reference = isSettled ? observations.filter(({ startedAt }) => startedAt >= change.sinceAt) : null
  const chart = reference ? computeControlChart(observations, { zone, reference }) : wholeChart
  return {
    pace,
    chart,
    isNewlySlower: isNews && change.direction === 'slower' && change.shiftDays >= MIN_SHIFT_DAYS,
    slowBreaks: DIRECTIONAL_RULES.filter((rule) => isBrokenOnSlowSide(rule, chart?.points ?? [])),
  }
}

/** A recent point breaks the rule by being slower than usual; for a run of rising points, by rising. */
function isBrokenOnSlowSide(rule: RunRule, points: ControlChart['points']): boolean {
  return points.some(({ score, breaks }, index) => {
    if (index < points.length - RECENT_POINTS || score <= 0 || !breaks.includes(rule)) return false
    return rule !== 'six rising or falling' || score > (points[index - 1]?.score ?? score)
  })
}
