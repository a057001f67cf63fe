import type { FadingCounts } from './fadingCounts'
import type { Group, Roster } from './roster'
import { type Counts, leftOf, NEARLY_NOTHING, without } from './tally'

/**
 * What is thought of each step's hazard: the chance of arriving at it, given not before.
 * All arrays are by step, from 0.
 */
export interface Estimate extends Counts {
  hazard: number[]
  /** Variance of what the hazard may be: of its Beta posterior, and of what it was pulled to. */
  variance: number[]
  /** Shipments that the hazard rests on, borrowed ones included: at risk + weight. */
  strength: number[]
  /**
   * What several hazards may be wrong by together, one list for each level of groups: the covariance of two hazards is
   * the sum over these of the product of their entries.
   */
  shared: number[][]
}

type Prior = Pick<Estimate, 'hazard' | 'variance' | 'strength' | 'shared'>

/**
 * The hazards of groups, each pulled by a weight w (in shipments) to those of the next wider group as they are without
 * this one's own record, and so on out to the pool, which is pulled to one constant hazard:
 * h = (d + w h_wider) / (n + w). In the tail the pool's hazard is the tail's. With all weights 0 it is d / n, the
 * Kaplan-Meier estimator's; where none of its own was at risk, the wider group's.
 *
 * It speaks of counts as they were at first asking: when more is counted, make another.
 */
export class Shrinkage {
  readonly footing: Footing
  readonly #counts: FadingCounts
  readonly #weights: readonly number[]
  readonly #likeness: readonly number[]
  readonly #own = new Map<Group, Counts>()
  readonly #estimates = new Map<Group, Estimate>()
  readonly #around = new Map<Group, Estimate>()

  /**
   * @param weights by depth, the pool's first; those of depths not asked for may come later.
   * @param likeness by depth, how alike the steps of a group stray: 0 (by themselves) to 1.
   */
  constructor(
    counts: FadingCounts,
    { pool }: Roster,
    last: number,
    weights: readonly number[],
    likeness: readonly number[] = [],
  ) {
    this.#counts = counts
    this.#weights = weights
    this.#likeness = likeness
    this.footing = footingOf(counts.of(pool, last))
  }

  countsOf(group: Group): Counts {
    return remembered(this.#own, group, () => this.#counts.of(group, this.footing.last))
  }

  of(group: Group): Estimate {
    return remembered(this.#estimates, group, () => this.#pulled(group, this.countsOf(group)))
  }

  /** The estimate of the group around a group, without the latter's own record. */
  around(group: Group, wider: Group): Estimate {
    return remembered(this.#around, group, () =>
      this.#pulled(wider, without(this.countsOf(wider), this.countsOf(group))),
    )
  }

  /** The estimate of a group that has no record, at this depth within one of this estimate: as uncertain as groups differ. */
  within(estimate: Estimate, depth: number): Estimate {
    const none = Array<number>(this.footing.last + 1).fill(0)
    return pulled(
      { arrived: none, atRisk: none },
      estimate,
      this.#weights[depth] ?? (this.#weights.at(-1) as number),
      this.#likeness[depth] ?? this.#likeness.at(-1) ?? 0,
    )
  }

  #pulled(group: Group, counts: Counts): Estimate {
    const weight = this.#weights[group.depth] as number
    if (group.wider)
      return pulled(counts, this.around(group, group.wider), weight, this.#likeness[group.depth] ?? 0)
    const estimate = pulled(counts, spread(this.footing), weight, 0)
    if (weight > 0) holdInTail(estimate, this.footing)
    return estimate
  }
}

function remembered<T>(known: Map<Group, T>, group: Group, make: () => T): T {
  let value = known.get(group)
  if (value === undefined) {
    value = make()
    known.set(group, value)
  }
  return value
}

const OF_A_HAZARD = ['hazard', 'variance', 'strength'] as const

/** What the pool is pulled to: the constant hazard, in the tail the tail's. */
function spread(footing: Footing): Prior {
  const by = (key: (typeof OF_A_HAZARD)[number]) => Array<number>(footing.last + 1).fill(footing.overall[key])
  const prior = { hazard: by('hazard'), variance: by('variance'), strength: by('strength'), shared: [] }
  holdInTail(prior, footing)
  return prior
}

function holdInTail(estimate: Prior, { tailFrom, tail }: Footing): void {
  for (const key of OF_A_HAZARD) estimate[key].fill(tail[key], tailFrom)
}

/**
 * A Beta posterior at each step, its prior worth `weight` shipments and uncertain itself (law of total variance). As far
 * as a hazard is taken over from the prior, so is what that may be wrong by together with others.
 */
function pulled({ arrived, atRisk }: Counts, prior: Prior, weight: number, likeness: number): Estimate {
  const hazard = prior.hazard.slice()
  const variance = prior.variance.slice()
  const strength = prior.strength.slice()
  const shared = prior.shared.map((wrong) => wrong.slice())
  if (likeness > 0)
    shared.push(hazard.map((chance) => Math.sqrt((likeness * chance * (1 - chance)) / (weight + 1))))
  for (let step = 0; step < hazard.length; step += 1) {
    const exposed = atRisk[step] as number
    const total = exposed + weight
    if (total <= NEARLY_NOTHING) continue
    const came = exposed - leftOf(exposed, arrived[step] as number)
    const mean = (came + weight * (prior.hazard[step] as number)) / total
    hazard[step] = mean
    const taken = weight / total
    const ofPrior = taken ** 2 * (prior.variance[step] as number)
    variance[step] = (mean * (1 - mean) - ofPrior) / (total + 1) + ofPrior
    strength[step] = total
    for (const wrong of shared) wrong[step] = (wrong[step] as number) * taken
  }
  return { arrived, atRisk, hazard, variance, strength, shared }
}

/** One hazard for many steps. */
interface ConstantHazard {
  hazard: number
  variance: number
  /** Shipments that it rests on. */
  strength: number
}

/** What the pool as a whole says: one hazard of all its steps, and one of those that few were seen to reach. */
interface Footing {
  /** The last step worked out, at least 0. */
  last: number
  overall: ConstantHazard
  /** The step from which on fewer than 10 shipments of the pool were at risk. */
  tailFrom: number
  tail: ConstantHazard
}

const FEW = 10

function footingOf(pool: Counts): Footing {
  let tailFrom = pool.atRisk.length
  while (tailFrom > 0 && (pool.atRisk[tailFrom - 1] as number) < FEW - NEARLY_NOTHING) tailFrom -= 1
  return {
    last: pool.atRisk.length - 1,
    overall: constantFrom(pool, 0),
    tailFrom,
    tail: constantFrom(pool, tailFrom),
  }
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
