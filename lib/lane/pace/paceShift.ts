import type { Observation } from '../model/observation'
import { StepCounter } from '../model/stepCounter'
import { buildPaceScale, computeReferenceHazards } from './paceScale'

/** No shift larger than this many open days is told. */
const MAX_SHIFT_DAYS = 30

/**
 * By how many open days `after` is later (above 0) or earlier (below) than `before`: the shift which, taken off every
 * shipment of `after`, gives them the mean score 0 among those of `before`. Between whole days it is interpolated. A
 * shipment counts by its place, so that one lost box does not add a week to all the others, and those
 * still under way count as on the scale.
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
      // Before step 0 the scale goes on as it falls from step 1 to step 0, lest a shift down be lost there.
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
