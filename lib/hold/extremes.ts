/**
 * The earliest of some instants, ms UTC; Infinity if there are none. Math.min takes at most about 120,000 arguments, and
 * a sample may have more reports.
 */
export function findEarliest(instants: Iterable<number>): number {
  let earliest = Number.POSITIVE_INFINITY
  for (const at of instants) if (at < earliest) earliest = at
  return earliest
}

/** The latest of some instants, ms UTC; -Infinity if there are none. */
export function findLatest(instants: Iterable<number>): number {
  let latest = Number.NEGATIVE_INFINITY
  for (const at of instants) if (at > latest) latest = at
  return latest
}
