import { DAY, getOffset, HOUR } from '@/lib/hold/zone'

export interface ClockChange {
  /** The instant of the change, ms UTC. */
  at: number
  /** The wall-clock time half an hour into the repeated or skipped hour, as if ms UTC. */
  wallInside: number
  isBack: boolean
}

/** The clock changes in `zone` between two instants (ms UTC), in order. */
export function findClockChanges(zone: string, from: number, to: number): ClockChange[] {
  const changes: ClockChange[] = []
  for (let before = from; before < to; before += DAY) {
    const after = Math.min(before + DAY, to)
    if (getOffset(before, zone) === getOffset(after, zone)) continue
    let [low, high] = [before, after]
    while (high - low > 1) {
      const middle = Math.floor((low + high) / 2)
      if (getOffset(middle, zone) === getOffset(before, zone)) low = middle
      else high = middle
    }
    const smaller = Math.min(getOffset(before, zone), getOffset(after, zone))
    const isBack = getOffset(after, zone) === smaller
    changes.push({ at: high, wallInside: high + smaller + HOUR / 2, isBack })
  }
  return changes
}
