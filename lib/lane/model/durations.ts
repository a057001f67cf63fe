/** How long something took, or has taken so far. Unit as the caller's. */
export interface Duration {
  length: number
  /** It is over. Otherwise it lasted at least `length`; for ever where that is infinite. */
  isClosed: boolean
}

/**
 * The length that each of `shares` (between 0 and 1, rising) of the durations do not exceed, by the product-limit
 * estimator: what is open counts as still at risk up to its length, one that closes at that very length comes first.
 * Null where the estimate never gets there: too much is still open to say.
 *
 * Source: Kaplan and Meier 1958. Where the curve runs level exactly at the share its left end is given, so the
 * median of {1, 2} is 1.
 */
export function computeQuantiles(
  durations: readonly Duration[],
  shares: readonly number[],
): (number | null)[] {
  const closed = sortLengths(durations.filter(({ isClosed }) => isClosed))
  const open = sortLengths(durations.filter(({ isClosed }) => !isClosed))
  const found: number[] = []
  let notYet = 1
  let openBefore = 0
  for (let index = 0; index < closed.length && found.length < shares.length; ) {
    const length = closed[index] as number
    while (openBefore < open.length && (open[openBefore] as number) < length) openBefore += 1
    const atRisk = durations.length - index - openBefore
    let closing = 0
    while (closed[index + closing] === length) closing += 1
    notYet *= 1 - closing / atRisk
    index += closing
    // The product carries the rounding of its factors: a share that it meets exactly must not be missed by that.
    while (found.length < shares.length && 1 - notYet >= (shares[found.length] as number) - 1e-9)
      found.push(length)
  }
  return shares.map((_, index) => found[index] ?? null)
}

function sortLengths(durations: readonly Duration[]): Float64Array {
  return Float64Array.from(durations, ({ length }) => length).sort()
}
