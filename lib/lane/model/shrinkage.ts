import type { FadingCounts } from './fadingCounts'
import type { Group, GroupHierarchy } from './groupHierarchy'
import { type Counts, EPSILON, subtractCount, subtractCounts } from './stepCounter'

/** Estimates by step from 0: the hazard is the chance of arriving at a step, given not before. */
export interface Estimate extends Counts {
  hazard: number[]
  /** Variance of the hazard: of its Beta posterior and of its prior. */
  variance: number[]
  /** Shipments behind the hazard, borrowed ones included: at risk + weight. */
  strength: number[]
  /**
   * Errors that several hazards share, a list for each level of groups: the covariance of two hazards is the
   * sum over the lists of the product of their entries.
   */
  shared: number[][]
}

type Prior = Pick<Estimate, 'hazard' | 'variance' | 'strength' | 'shared'>

/**
 * The hazards of groups. Each is shrunk with weight w (in shipments) to that of the next wider group without
 * this group's own data, up to the pool, which is shrunk to one constant hazard: h = (d + w h_wider) / (n + w).
 * In the tail the pool has the tail's hazard. With all weights 0 it is d / n, the Kaplan-Meier estimator; with
 * none of its own at risk it is the wider group's.
 *
 * Counts are read once: build a new one after adding observations.
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
   * @param weights by depth, the pool's first; deeper ones may be missing.
   * @param correlations by depth, how much the deviations of a group's steps correlate: 0 to 1.
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

  /** The estimate of a wider group without the data of a group in it. */
  estimateWithout(group: Group, wider: Group): Estimate {
    return memoize(this.#estimatesWithout, group, () =>
      this.#shrink(wider, subtractCounts(this.getCounts(wider), this.getCounts(group))),
    )
  }

  /**
   * The estimate of a group without data at this depth, within the group of `estimate`: as uncertain as groups
   * differ.
   */
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

/** The constant hazard, and in the tail the tail's. */
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
 * A Beta posterior at each step; its prior is worth `weight` shipments and uncertain itself (law of total
 * variance). The shared errors of the prior are inherited in proportion.
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
    const priorShare = taken ** 2 * (prior.variance[step] as number)
    variance[step] = (mean * (1 - mean) - priorShare) / (total + 1) + priorShare
    strength[step] = total
    for (const wrong of shared) wrong[step] = (wrong[step] as number) * taken
  }
  return { arrived, atRisk, hazard, variance, strength, shared }
}

/** One hazard for many steps. */
interface ConstantHazard {
  hazard: number
  variance: number
  /** Shipments behind it. */
  strength: number
}

/** The pooled hazard of all steps, and that of the steps that few shipments reached. */
interface PooledBaseline {
  /** The last step, at least 0. */
  last: number
  overall: ConstantHazard
  /** From this step on fewer than 10 shipments of the pool were at risk. */
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
