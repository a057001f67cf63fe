/**
 * One consignment's share in one stage: it arrived at a step, or is known not to have arrived by the end of
 * one.
 */
export interface Observation {
  /** Keys of its own group first, then of each wider one; the pool is implied. */
  levels: readonly string[]
  /** When the stage began, ms UTC; age makes it fade. */
  startedAt: number
  /**
   * The step it arrived at, or the last one by whose end it is known not to have arrived. -1: no step is known
   * yet, so it counts for nothing. Infinity, not arrived: it never arrives, and is at risk at every step.
   */
  steps: number
  hasArrived: boolean
  /** 1, or 1/m for each of the m samples of one consignment. */
  weight: number
}

/** The longest stage, in steps. */
export const MAX_STEP = 100_000

/**
 * @throws RangeError on steps or a weight that no shipment can have.
 */
export function assertCountable({ steps, hasArrived, weight }: Observation): void {
  const isStep = Number.isInteger(steps) && steps >= (hasArrived ? 0 : -1) && steps <= MAX_STEP
  if (!isStep && (hasArrived || steps !== Number.POSITIVE_INFINITY))
    throw new RangeError(`An observation cannot have ${steps} steps: whole numbers from 0 to ${MAX_STEP}.`)
  if (!(weight > 0 && weight <= 1))
    throw new RangeError(`An observation cannot weigh ${weight}: more than 0, at most 1.`)
}
