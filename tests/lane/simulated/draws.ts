import type { Chance } from '@/tests/reference/random'
import type { Chances } from './truth'

const FINENESS = 1_000_000

/** A number from 0 to below 1. */
export const share = (chance: Chance) => chance.whole(FINENESS) / FINENESS

export const between = (chance: Chance, low: number, high: number) => low + (high - low) * share(chance)

/** A normal deviate as the sum of twelve uniform ones. */
export function normal(chance: Chance): number {
  let sum = -6
  for (let part = 0; part < 12; part += 1) sum += share(chance)
  return sum
}

/** One of the values, or undefined with the rest of the chances to 1. */
export function drawValue(chances: Chances, chance: Chance): number | undefined {
  let left = share(chance)
  for (const { value, chance: part } of chances) {
    left -= part
    if (left < 0) return value
  }
  return undefined
}

/** Chances in proportion to weights, with sum `total`. */
export function proportional(values: readonly number[], weights: readonly number[], total = 1): Chances {
  const sum = weights.reduce((all, weight) => all + weight, 0)
  return values.map((value, index) => ({ value, chance: ((weights[index] as number) / sum) * total }))
}

/** The share that is held up by something else, and the chance that it then stays one step more. */
const HELD_UP = 0.04
const STAYS = 0.75

/**
 * Whole steps from `first` on with this median and `spread` as deviation on a log scale; a few take longer for
 * another reason, so that no step but the last is certain.
 */
export function skewedSteps(median: number, spread: number, first: number, last: number, total = 1): Chances {
  const values = Array.from({ length: last - first + 1 }, (_, index) => first + index)
  const weights = values.map((value) => {
    const distance = Math.log((value + 0.5) / (median + 0.5)) / spread
    return Math.exp(-(distance ** 2) / 2) / (value + 0.5)
  })
  const usual = proportional(values, weights, (1 - HELD_UP) * total)
  const heldUp = proportional(
    values,
    values.map((value) => STAYS ** value),
    HELD_UP * total,
  )
  return usual.map(({ value, chance }, index) => ({ value, chance: chance + (heldUp[index]?.chance ?? 0) }))
}
