/** How long something took, or has taken so far, in the caller's unit. */
export interface Duration {
  length: number
  /** It is finished. Otherwise it lasts at least `length`; for ever if that is infinite. */
  isClosed: boolean
}

/**
 * The quantiles of durations at `shares` (0 to 1, ascending) by the product-limit estimator: an open duration
 * is at risk up to its length, and one that closes at that same length comes first. Null if too many are open
 * for the estimate to reach the share.
 *
 * Source: Kaplan and Meier 1958. If the curve is level at the share, its left end is returned, so the median of
 * {1, 2} is 1.
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
    // The product carries rounding errors: a share that it meets exactly must not be missed because of them.
    while (found.length < shares.length && 1 - notYet >= (shares[found.length] as number) - 1e-9)
      found.push(length)
  }
  return shares.map((_, index) => found[index] ?? null)
}

function sortLengths(durations: readonly Duration[]): Float64Array {
  return Float64Array.from(durations, ({ length }) => length).sort()
}
