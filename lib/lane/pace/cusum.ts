/** One side of a tabular CUSUM: the allowance for each observation, and the sum at which it signals. */
export interface CusumSide {
  allowance: number
  limit: number
}

/** Cells into which the sum is divided to compute its run length. */
const CELLS = 40
const MAX_LIMIT = 32

/**
 * Average number of observations, with nothing changed, before the sum of (score - allowance), never below 0,
 * exceeds `limit`. Scores are drawn from `scores` with `chances`, independently; computed as a Markov chain
 * over cells of the sum.
 *
 * Source: Page 1954 for the scheme; Brook and Evans 1972 for the chain.
 */
export function runLength(scores: readonly number[], chances: readonly number[], side: CusumSide): number {
  const width = (2 * side.limit) / (2 * CELLS - 1)
  const rows = Array.from({ length: CELLS }, (_, cell) => {
    const row = new Float64Array(CELLS + 1)
    row[cell] = 1
    row[CELLS] = 1
    for (let index = 0; index < scores.length; index += 1) {
      const next = Math.max(0, cell * width + (scores[index] as number) - side.allowance)
      const to = Math.floor(next / width + 0.5)
      if (to < CELLS) row[to] = (row[to] as number) - (chances[index] as number)
    }
    return row
  })
  // Elimination from the last cell upwards leaves cell 0, where the sum starts. The matrix needs no pivoting:
  // no entry off its diagonal is above 0, and no row sums below 0.
  for (let pivot = CELLS - 1; pivot > 0; pivot -= 1) {
    const from = rows[pivot] as Float64Array
    const diagonal = from[pivot] as number
    if (diagonal <= 0) return Number.POSITIVE_INFINITY
    for (let cell = 0; cell < pivot; cell += 1) {
      const row = rows[cell] as Float64Array
      const factor = (row[pivot] as number) / diagonal
      if (factor === 0) continue
      for (let column = 0; column < pivot; column += 1)
        row[column] = (row[column] as number) - factor * (from[column] as number)
      row[CELLS] = (row[CELLS] as number) - factor * (from[CELLS] as number)
    }
  }
  const [left, sum] = [(rows[0] as Float64Array)[0] as number, (rows[0] as Float64Array)[CELLS] as number]
  return left <= 1e-12 ? Number.POSITIVE_INFINITY : sum / left
}

/** The smallest limit, to a hundredth (32 at most), with an average run length of `length` observations. */
export function findLimit(
  scores: readonly number[],
  chances: readonly number[],
  allowance: number,
  length: number,
): number {
  let [low, high] = [0, MAX_LIMIT]
  while (high - low > 0.01) {
    const middle = (low + high) / 2
    if (runLength(scores, chances, { allowance, limit: middle }) < length) low = middle
    else high = middle
  }
  return high
}
