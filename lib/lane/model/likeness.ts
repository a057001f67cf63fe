import type { FadingCounts } from './fadingCounts'
import type { Roster } from './roster'
import { Shrinkage } from './shrinkage'

/**
 * How alike the steps of a group stray from those of the wider one, by depth: 0 where each strays by itself, 1 where a
 * slow group is slow at every step by as much as groups differ. By moments: the products of what two steps of a group
 * had more or fewer arrivals than was expected, against what they would be on average if likeness were 1. Chance alone
 * does not tie one step's arrivals to the next one's, given who is still at risk, so it adds nothing to these products.
 * The pool is not within anything: 0.
 *
 * @param last the last step of the counts.
 */
export function fittedLikeness(
  counts: FadingCounts,
  roster: Roster,
  last: number,
  weights: readonly number[],
): number[] {
  const shrinkage = new Shrinkage(counts, roster, last, weights)
  const products = weights.map(() => ({ seen: 0, most: 0 }))
  for (const group of roster.groups) {
    const product = products[group.depth]
    if (!group.wider || !product) continue
    const weight = weights[group.depth] as number
    const { arrived, atRisk } = shrinkage.countsOf(group)
    const { hazard } = shrinkage.around(group, group.wider)
    const [strays, most] = [crossProducts(), crossProducts()]
    for (let step = 0; step <= last; step += 1) {
      const exposed = atRisk[step] as number
      const expected = hazard[step] as number
      if (exposed <= 0) break
      // Divided by how much its own scatter and its group's add to each other, so that no group outweighs all.
      strays.add(((arrived[step] as number) - exposed * expected) / (exposed + weight))
      most.add((exposed * Math.sqrt((expected * (1 - expected)) / (weight + 1))) / (exposed + weight))
    }
    product.seen += strays.sum()
    product.most += most.sum()
  }
  return products.map(({ seen, most }) => (most > 0 ? Math.min(1, Math.max(0, seen / most)) : 0))
}

/** Sums the products of each two different ones of some numbers, twice. */
function crossProducts() {
  let [sum, squares] = [0, 0]
  return {
    add(value: number) {
      sum += value
      squares += value * value
    },
    sum: () => sum * sum - squares,
  }
}
