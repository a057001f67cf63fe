import type { Observation } from '../model/observation'
import { type ControlChart, computeControlChart } from './controlChart'
import { computePace, type Pace } from './pace'
import type { RunRule } from './runRules'

export interface PaceControl {
  pace: Pace
  /** Null if too few have arrived to draw limits. */
  chart: ControlChart | null
}

export interface PaceControlOptions {
  /** Days are counted in this zone: the plant's for a lane, the laboratory's for a stage of its own. */
  zone: string
  rules?: readonly RunRule[]
  falseAlarmInterval?: number
}

/**
 * The pace of a lane or another stage, and its control chart with limits from the period before its latest
 * change of pace, so that the change stands out; from all observations if the pace never changed. Pass the
 * observations of that lane only, in any order.
 */
export function computePaceControl(
  observations: readonly Observation[],
  options: PaceControlOptions,
): PaceControl {
  const pace = computePace(observations, options)
  const [before, latest] = [pace.changes.at(-2), pace.changes.at(-1)]
  if (!latest) return { pace, chart: computeControlChart(observations, options) }
  const reference = observations.filter(
    ({ startedAt }) =>
      startedAt < latest.sinceAt && startedAt >= (before?.sinceAt ?? Number.NEGATIVE_INFINITY),
  )
  return { pace, chart: computeControlChart(observations, { ...options, reference }) }
}
