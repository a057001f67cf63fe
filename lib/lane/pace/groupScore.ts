import jStat from 'jstat'
import type { Observation } from '../model/observation'
import type { PaceScale } from './paceScale'

/** Scores are rounded to 1/32 deviation, so that their sums fall on a grid and can be counted exactly. */
const GRID = 32
/** The sum of a larger group is taken as normal. */
const MAX_EXACT_COUNT = 30
/** If one value makes up this share, nine in a row on one side are as rare as with values that never tie. */
const MAX_COMMON_SHARE = 0.55
const MIN_TAIL = 1e-9

/**
 * The normal quantile of the mid-p value of the sum of a group's scores. The distribution of the sum is the
 * exact convolution of the reference with itself. One score takes as many values as there are days; the sum of
 * five or more takes so many that it behaves as a normal value, skew included, which run rules need.
 */
export class GroupScore {
  readonly #scale: PaceScale
  readonly #values: readonly number[]
  readonly #lowest: number
  readonly #mean: number
  readonly #deviation: number
  /** The distribution of the sum of 0, 1, 2 ... shipments, in grid steps above the lowest possible sum. */
  readonly #sums: Float64Array[] = [Float64Array.of(1)]

  constructor(scale: PaceScale) {
    this.#scale = scale
    this.#values = scale.scores.map(roundToGrid)
    this.#lowest = Math.min(...this.#values)
    const mean = (values: readonly number[]) =>
      values.reduce((sum, value, step) => sum + value * (scale.chances[step] as number), 0)
    this.#mean = mean(this.#values)
    this.#deviation = Math.sqrt(mean(this.#values.map((value) => (value - this.#mean) ** 2)))
  }

  /** The score of a group of at least one shipment, above 0 slower; a consignment counts as one. */
  score(members: readonly Pick<Observation, 'steps' | 'hasArrived' | 'weight'>[]): number {
    if (this.#deviation === 0) return 0
    let [sum, weight] = [0, 0]
    for (const member of members) {
      sum += member.weight * roundToGrid(this.#scale.getScore(member.steps, member.hasArrived))
      weight += member.weight
    }
    const count = Math.max(1, Math.round(weight))
    sum *= count / weight
    if (count > MAX_EXACT_COUNT) return (sum - count * this.#mean) / (this.#deviation * Math.sqrt(count))
    const place = computeMidP(this.#getSum(count), sum - count * this.#lowest)
    return jStat.normal.inv(Math.min(Math.max(place, MIN_TAIL), 1 - MIN_TAIL), 0, 1)
  }

  /**
   * The smallest number of shipments, at least `from`, whose sum has no value so common that runs are likely;
   * null if even 30 are too few because almost all shipments take the same days.
   */
  findMinCount(from: number): number | null {
    for (let count = from; count <= MAX_EXACT_COUNT; count += 1)
      if (this.#getSum(count).every((chance) => chance <= MAX_COMMON_SHARE)) return count
    return null
  }

  #getSum(count: number): Float64Array {
    for (let size = this.#sums.length; size <= count; size += 1) {
      const before = this.#sums[size - 1] as Float64Array
      const highest = Math.max(...this.#values) - this.#lowest
      const after = new Float64Array(before.length + highest)
      for (const [index, value] of this.#values.entries()) {
        const chance = this.#scale.chances[index] as number
        const by = value - this.#lowest
        for (let at = 0; at < before.length; at += 1)
          after[at + by] = (after[at + by] as number) + chance * (before[at] as number)
      }
      this.#sums.push(after)
    }
    return this.#sums[count] as Float64Array
  }
}

const roundToGrid = (score: number) => Math.round(score * GRID)

/** The chance of less than `at`, plus half the chance of `at` if it is a value, within rounding. */
function computeMidP(chances: Float64Array, at: number): number {
  const nearest = Math.round(at)
  const isValue = Math.abs(at - nearest) < 1e-6
  const below = Math.min(isValue ? nearest : Math.ceil(at), chances.length)
  let before = 0
  for (let index = 0; index < below; index += 1) before += chances[index] as number
  return isValue ? before + (chances[nearest] ?? 0) / 2 : before
}
