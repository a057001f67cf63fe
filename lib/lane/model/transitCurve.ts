import type { Fit } from './fit'
import type { Observation } from './observation'
import { StepCounter } from './stepCounter'

/** One open day after the hand-over. */
export interface CurvePoint {
  step: number
  /** Shipments still on the way when the day began, and those that arrived on it, unweighted by age. */
  atRisk: number
  arrived: number
  /** The estimated share that has not arrived by the end of the day, and its 90 % interval. */
  notYet: number
  low: number
  high: number
}

/** How long shipments take, in steps (open days after the day of hand-over; 0 is that day). */
export interface TransitCurve {
  /** From step 0 until nearly all have arrived, or nothing more is known. */
  points: CurvePoint[]
  /** The first step by whose end half, or nine of ten, have arrived; null if too many never do. */
  medianSteps: number | null
  p90Steps: number | null
}

/** The curve ends when less than this share has not arrived. */
const MAX_SHARE_LEFT = 0.01
const MIN_POINTS = 6

/** The curve of the group with these `levels`, with the unweighted counts of `observations`. */
export function computeTransitCurve(
  fit: Fit,
  levels: readonly string[],
  observations: readonly Observation[],
): TransitCurve {
  const estimate = fit.curve(levels)
  const counter = new StepCounter()
  for (const { steps, hasArrived, weight } of observations)
    if (steps >= 0) counter.add(steps, hasArrived, weight, weight)
  const { arrived, atRisk } = counter.counts(estimate.length - 1, 1)
  const within = (share: number) => estimate.findIndex(({ notYet }) => notYet <= 1 - share + 1e-9)
  const [half, ninetieth] = [within(0.5), within(0.9)]
  const nearlyAll = estimate.findIndex(({ notYet }) => notYet < MAX_SHARE_LEFT)
  const lastArrival = arrived.findLastIndex((count) => count > 0)
  const last = Math.max(MIN_POINTS - 1, lastArrival + 1, nearlyAll < 0 ? ninetieth + 1 : 0, nearlyAll)
  return {
    points: estimate.slice(0, last + 1).map(({ step, notYet }) => {
      const [low, high] = fit.interval(levels, step)
      return { step, atRisk: atRisk[step] as number, arrived: arrived[step] as number, notYet, low, high }
    }),
    medianSteps: half < 0 ? null : half,
    p90Steps: ninetieth < 0 ? null : ninetieth,
  }
}
