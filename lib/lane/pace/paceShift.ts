import type { Observation } from '../model/observation'
import { StepCounter } from '../model/stepCounter'
import { buildPaceScale, computeReferenceHazards } from './paceScale'

/** Larger shifts are cut to this many open days. */
const MAX_SHIFT_DAYS = 30

/**
 * The shift in open days, above 0 if `after` is slower than `before`, that gives `after` a mean score of 0 on
 * the scale of `before` when it is subtracted from every shipment; interpolated between whole days. A shipment
 * counts by its place, so one lost box does not add a week to all the others, and those under way count as on
 * the scale.
 */
export function estimatePaceShift(before: readonly Observation[], after: readonly Observation[]): number {
  const counter = new StepCounter()
  for (const { steps, hasArrived, weight } of before) counter.add(steps, hasArrived, weight, weight)
  const scale = buildPaceScale(computeReferenceHazards(counter.counts(counter.lastArrival() + 1, 1)))
  const earliest = scale.scores[0] as number
  const mean = (shift: number) => {
    let [sum, total] = [0, 0]
    for (const { steps, hasArrived, weight } of after) {
      const step = steps - shift
      // Below step 0 the scale continues with the slope between steps 1 and 0, so that a downward shift is not
      // lost there.
      const beyond = hasArrived && step < 0 ? step * Math.abs((scale.scores[1] as number) - earliest) : 0
      sum += weight * (scale.getScore(step, hasArrived) + beyond)
      total += weight * scale.shareKnown(step, hasArrived)
    }
    return total > 0 ? sum / total : 0
  }
  const way = mean(0) > 0 ? 1 : -1
  let at = mean(0)
  for (let shift = way; Math.abs(shift) <= MAX_SHIFT_DAYS; shift += way) {
    const next = mean(shift)
    if (next * way <= 0) return shift - way + (at === next ? 0 : (way * at) / (at - next))
    at = next
  }
  return way * MAX_SHIFT_DAYS
}
