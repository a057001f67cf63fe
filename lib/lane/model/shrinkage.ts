import type { FadingCounts } from './fadingCounts'
import type { Group, GroupHierarchy } from './groupHierarchy'
import { type Counts, EPSILON, subtractCount, subtractCounts } from './stepCounter'

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
  readonly baseline: PooledBaseline
  readonly #counts: FadingCounts
  readonly #weights: readonly number[]
  readonly #correlations: readonly number[]
  readonly #own = new Map<Group, Counts>()
  readonly #estimates = new Map<Group, Estimate>()
  readonly #estimatesWithout = new Map<Group, Estimate>()

  /**
   * @param weights by depth, the pool's first; those of depths not asked for may come later.
   * @param correlations by depth, how alike the steps of a group stray: 0 (by themselves) to 1.
   */
  constructor(
    counts: FadingCounts,
    { pool }: GroupHierarchy,
    last: number,
    weights: readonly number[],
    correlations: readonly number[] = [],
  ) {
    this.#counts = counts
    this.#weights = weights
    this.#correlations = correlations
    this.baseline = computePooledBaseline(counts.getCounts(pool, last))
  }

  getCounts(group: Group): Counts {
    return memoize(this.#own, group, () => this.#counts.getCounts(group, this.baseline.last))
  }

  estimate(group: Group): Estimate {
    return memoize(this.#estimates, group, () => this.#shrink(group, this.getCounts(group)))
  }

  /** The estimate of the group around a group, without the latter's own record. */
  estimateWithout(group: Group, wider: Group): Estimate {
    return memoize(this.#estimatesWithout, group, () =>
      this.#shrink(wider, subtractCounts(this.getCounts(wider), this.getCounts(group))),
    )
  }

  /** The estimate of a group that has no record, at this depth within one of this estimate: as uncertain as groups differ. */
  estimateNewGroup(estimate: Estimate, depth: number): Estimate {
    const none = Array<number>(this.baseline.last + 1).fill(0)
    return shrink(
      { arrived: none, atRisk: none },
      estimate,
      this.#weights[depth] ?? (this.#weights.at(-1) as number),
      this.#correlations[depth] ?? this.#correlations.at(-1) ?? 0,
    )
  }

  #shrink(group: Group, counts: Counts): Estimate {
    const weight = this.#weights[group.depth] as number
    if (group.wider)
      return shrink(
        counts,
        this.estimateWithout(group, group.wider),
        weight,
        this.#correlations[group.depth] ?? 0,
      )
    const estimate = shrink(counts, createPoolPrior(this.baseline), weight, 0)
    if (weight > 0) applyTail(estimate, this.baseline)
    return estimate
  }
}

function memoize<T>(known: Map<Group, T>, group: Group, make: () => T): T {
  let value = known.get(group)
  if (value === undefined) {
    value = make()
    known.set(group, value)
  }
  return value
}

const HAZARD_FIELDS = ['hazard', 'variance', 'strength'] as const

/** What the pool is pulled to: the constant hazard, in the tail the tail's. */
function createPoolPrior(baseline: PooledBaseline): Prior {
  const by = (key: (typeof HAZARD_FIELDS)[number]) =>
    Array<number>(baseline.last + 1).fill(baseline.overall[key])
  const prior = { hazard: by('hazard'), variance: by('variance'), strength: by('strength'), shared: [] }
  applyTail(prior, baseline)
  return prior
}

function applyTail(estimate: Prior, { tailFrom, tail }: PooledBaseline): void {
  for (const key of HAZARD_FIELDS) estimate[key].fill(tail[key], tailFrom)
}

/**
 * A Beta posterior at each step, its prior worth `weight` shipments and uncertain itself (law of total variance). As far
 * as a hazard is taken over from the prior, so is what that may be wrong by together with others.
 */
function shrink({ arrived, atRisk }: Counts, prior: Prior, weight: number, correlation: number): Estimate {
  const hazard = prior.hazard.slice()
  const variance = prior.variance.slice()
  const strength = prior.strength.slice()
  const shared = prior.shared.map((wrong) => wrong.slice())
  if (correlation > 0)
    shared.push(hazard.map((chance) => Math.sqrt((correlation * chance * (1 - chance)) / (weight + 1))))
  for (let step = 0; step < hazard.length; step += 1) {
    const exposed = atRisk[step] as number
    const total = exposed + weight
    if (total <= EPSILON) continue
    const came = exposed - subtractCount(exposed, arrived[step] as number)
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
interface PooledBaseline {
  /** The last step worked out, at least 0. */
  last: number
  overall: ConstantHazard
  /** The step from which on fewer than 10 shipments of the pool were at risk. */
  tailFrom: number
  tail: ConstantHazard
}

const TAIL_THRESHOLD = 10

function computePooledBaseline(pool: Counts): PooledBaseline {
  let tailFrom = pool.atRisk.length
  while (tailFrom > 0 && (pool.atRisk[tailFrom - 1] as number) < TAIL_THRESHOLD - EPSILON) tailFrom -= 1
  return {
    last: pool.atRisk.length - 1,
    overall: fitConstantHazard(pool, 0),
    tailFrom,
    tail: fitConstantHazard(pool, tailFrom),
  }
}

/** (D + 1/2) / (N + 1) over the steps from `first` on: Jeffreys' prior, so neither 0 nor 0/0. */
function fitConstantHazard({ arrived, atRisk }: Counts, first: number): ConstantHazard {
  let [arrivals, exposed] = [0, 0]
  for (let step = first; step < atRisk.length; step += 1) {
    arrivals += arrived[step] as number
    exposed += atRisk[step] as number
  }
  const hazard = (Math.min(arrivals, exposed) + 0.5) / (exposed + 1)
  return { hazard, variance: (hazard * (1 - hazard)) / (exposed + 2), strength: exposed + 1 }
}
