import jStat from 'jstat'
import type { Observation } from '../model/observation'
import type { PaceScale } from './paceScale'

/** Scores are rounded to this share of a deviation, so that their sums fall on a grid and can be counted exactly. */
const GRID = 32
/** Groups larger than this are taken to have a normal sum. */
const MAX_EXACT_COUNT = 30
/** With every second point the same, nine in a row on one side are as rare as on values that never tie. */
const MAX_COMMON_SHARE = 0.55
const MIN_TAIL = 1e-9

/**
 * Where the sum of the scores of a group of shipments lies among all that such a sum can be under the reference: the
 * normal quantile of its mid-p value, the sum's distribution being the exact convolution of the reference with itself. One
 * score alone takes as many values as there are days; the sum of five or more takes so many that it behaves as a normal
 * value does, skew included, which rules about runs need.
 */
export class GroupScore {
  readonly #scale: PaceScale
  readonly #values: readonly number[]
  readonly #lowest: number
  readonly #mean: number
  readonly #deviation: number
  /** The distribution of the sum of 0, 1, 2 ... shipments above as many times the lowest, in steps of the grid. */
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

  /** The score of a group of at least one shipment, above 0 slower; the samples of a consignment are one by their weights. */
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
   * How many shipments, at least `from`, make a sum with no value so common that runs of it are no wonder; null where
   * even 30 do not, almost all shipments taking the same days.
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

/** The chance of less than `at`, and half of that of `at` itself, where it is one of the values (but for rounding). */
function computeMidP(chances: Float64Array, at: number): number {
  const nearest = Math.round(at)
  const isValue = Math.abs(at - nearest) < 1e-6
  const below = Math.min(isValue ? nearest : Math.ceil(at), chances.length)
  let before = 0
  for (let index = 0; index < below; index += 1) before += chances[index] as number
  return isValue ? before + (chances[nearest] ?? 0) / 2 : before
}
