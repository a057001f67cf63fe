import { type Clock, getClockState } from './clock'
import type { Milestone } from './milestone'

/**
 * The first instant (ms UTC) from which a milestone is early for none of the clocks that run at `now` (ms UTC) and stop with
 * it; null if none of them has a least time. An overrun clock is lapsed by any stop, so it asks nobody to wait.
 */
export function findEarliestStop(clocks: readonly Clock[], milestone: Milestone, now: number): number | null {
  return clocks.reduce<number | null>((latest, clock) => {
    const { limit, earliestStopAt } = clock
    if (limit.to !== milestone || earliestStopAt === null || getClockState(clock, now) !== 'running')
      return latest
    return latest === null || earliestStopAt > latest ? earliestStopAt : latest
  }, null)
}
