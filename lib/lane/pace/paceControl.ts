import type { Observation } from '../model/observation'
import { type ControlChart, computeControlChart } from './controlChart'
import { computePace, type Pace } from './pace'
import type { RunRule } from './runRules'

export interface PaceControl {
  pace: Pace
  /** Null while too few have arrived to draw limits from. */
  chart: ControlChart | null
}

export interface PaceControlOptions {
  /** Where days are told: the plant's zone for a lane, the laboratory's for a stage of its own. */
  zone: string
  rules?: readonly RunRule[]
  falseAlarmInterval?: number
}

/**
 * The pace of a lane or another stage, and its chart with limits from the stretch before its latest change of pace (back
 * to the one before that), so that the change stands out from them; from all of it where the pace never changed. Give
 * it the observations of that lane only, in any order.
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
