import type { Group, Groups } from './groups'
import { type Counts, NEARLY_NOTHING, without } from './tally'

/**
 * What is thought of each step's hazard: the chance of arriving at it, given not before.
 * All arrays are by step, from 0.
 */
export interface Estimate extends Counts {
  hazard: Float64Array
  /** Variance of what the hazard may be: of its Beta posterior, and of what it was pulled to. */
  variance: Float64Array
  /** Shipments that the hazard rests on, borrowed ones included: at risk + weight. */
  strength: Float64Array
}

/** One hazard for many steps. */
export interface ConstantHazard {
  hazard: number
  variance: number
  strength: number
}

/** What the pool as a whole says: one hazard of all its steps, and one of those that few were seen to reach. */
export interface Footing {
  /** The last step worked out. */
  last: number
  overall: ConstantHazard
  /** The first step at which fewer than 10 shipments of the pool were at risk. */
  tailFrom: number
  tail: ConstantHazard
}

const FEW = 10

/** @param last the last step to work out, at least 0. */
export function footingOf(groups: Groups, last: number): Footing {
  const counts = groups.counts(groups.pool, last)
  let tailFrom = last + 1
  while (tailFrom > 0 && (counts.atRisk[tailFrom - 1] as number) < FEW) tailFrom -= 1
  return { last, overall: constantFrom(counts, 0), tailFrom, tail: constantFrom(counts, tailFrom) }
}

/** (D + 1/2) / (N + 1) over the steps from `first` on: Jeffreys' prior, so neither 0 nor 0/0. */
function constantFrom({ arrived, atRisk }: Counts, first: number): ConstantHazard {
  let [arrivals, exposed] = [0, 0]
  for (let step = first; step < atRisk.length; step += 1) {
    arrivals += arrived[step] as number
    exposed += atRisk[step] as number
  }
  const hazard = (Math.min(arrivals, exposed) + 0.5) / (exposed + 1)
  return { hazard, variance: (hazard * (1 - hazard)) / (exposed + 2), strength: exposed + 1 }
}

/**
 * The hazards of a group, each pulled by a weight w (in shipments) to those of the next wider group as they are without
 * this one's own record, and so on out to the pool, which is pulled to one constant hazard:
 * h = (d + w h_wider) / (n + w). In the tail the pool's hazard is the tail's. With all weights 0 it is d / n, the
 * Kaplan-Meier estimator's; where none of its own was at risk, the wider group's.
 *
 * @param weights by depth: the pool's first.
 * @param left a group within this one to leave out of its counts.
 */
export function estimateOf(
  groups: Groups,
  group: Group,
  weights: readonly number[],
  footing: Footing,
  left: Group | null = null,
): Estimate {
  const all = groups.counts(group, footing.last)
  const counts = left ? without(all, groups.counts(left, footing.last)) : all
  const weight = weights[group.depth] as number
  if (group.wider) return pulled(counts, estimateOf(groups, group.wider, weights, footing, group), weight)
  const estimate = pulled(counts, spread(footing), weight)
  if (weight > 0) holdInTail(estimate, footing)
  return estimate
}

type Prior = Pick<Estimate, 'hazard' | 'variance' | 'strength'>

/** What the pool is pulled to: the constant hazard, in the tail the tail's. */
function spread({ last, overall, tailFrom, tail }: Footing): Prior {
  const by = (key: keyof ConstantHazard) =>
    new Float64Array(last + 1).fill(overall[key]).fill(tail[key], tailFrom)
  return { hazard: by('hazard'), variance: by('variance'), strength: by('strength') }
}

function holdInTail(estimate: Estimate, { tailFrom, tail }: Footing): void {
  estimate.hazard.fill(tail.hazard, tailFrom)
  estimate.variance.fill(tail.variance, tailFrom)
  estimate.strength.fill(tail.strength, tailFrom)
}

/** A Beta posterior at each step, its prior worth `weight` shipments and uncertain itself (law of total variance). */
function pulled({ arrived, atRisk }: Counts, prior: Prior, weight: number): Estimate {
  const hazard = prior.hazard.slice()
  const variance = prior.variance.slice()
  const strength = prior.strength.slice()
  for (let step = 0; step < hazard.length; step += 1) {
    const exposed = atRisk[step] as number
    if (exposed <= NEARLY_NOTHING && weight === 0) continue
    const total = exposed + weight
    const mean = ((arrived[step] as number) + weight * (prior.hazard[step] as number)) / total
    hazard[step] = mean
    variance[step] =
      (mean * (1 - mean)) / (total + 1) + (weight / total) ** 2 * (prior.variance[step] as number)
    strength[step] = total
  }
  return { arrived, atRisk, hazard, variance, strength }
}
