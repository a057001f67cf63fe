/** What one consignment's share of one stage tells: it arrived at a step, or is known not to have arrived through one. */
export interface Observation {
  /** Keys of its own group first, then of each wider one. The whole pool is implied and not named. */
  levels: readonly string[]
  /** When the stage began, ms UTC; what began long ago fades. */
  startedAt: number
  /**
   * The step it arrived at, or the last one through which it is known not to have. -1: none is known yet, so it counts
   * nothing. Infinity, not arrived: it never will, and is at risk at every step.
   */
  steps: number
  hasArrived: boolean
  /** 1, or 1/m for each of the m samples of one consignment. */
  weight: number
}

/** No stage is followed further than this many steps. */
export const MAX_STEP = 100_000

/** @throws RangeError on steps or a weight that no shipment can have. */
export function assertCountable({ steps, hasArrived, weight }: Observation): void {
  const isStep = Number.isInteger(steps) && steps >= (hasArrived ? 0 : -1) && steps <= MAX_STEP
  if (!isStep && (hasArrived || steps !== Number.POSITIVE_INFINITY))
    throw new RangeError(`An observation cannot have ${steps} steps: whole numbers from 0 to ${MAX_STEP}.`)
  if (!(weight > 0 && weight <= 1))
    throw new RangeError(`An observation cannot weigh ${weight}: more than 0, at most 1.`)
}
