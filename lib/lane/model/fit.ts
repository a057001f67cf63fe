import { FadingCounts } from './fadingCounts'
import { type Group, GroupHierarchy } from './groupHierarchy'
import { fitHalfLife } from './halfLife'
import { assertCountable, type Observation } from './observation'
import { type Estimate, Shrinkage } from './shrinkage'
import { EPSILON } from './stepCounter'
import { type CurveStep, computeCurve, computeInterval } from './survivalCurve'
import { fitWeights } from './weightFit'

export interface FitOptions {
  /** Age is weighted as of this date, ms UTC. */
  referenceAt: number
  /** A shipment under way for more steps than this never arrives. Default 30; Infinity presumes nothing. */
  presumedLostSteps?: number
  /**
   * Shrinkage to the wider group, in shipments: one for all levels, or one for each, own group first and pool
   * last. Fitted if absent; if set, the steps of a group are taken as independent.
   */
  weights?: number | readonly number[]
  /** Half-life of a shipment's weight in days of 86,400 s; null for no fading. Fitted if absent. */
  halfLifeDays?: number | null
}

/** The data behind an estimate. */
export interface Evidence {
  /** The innermost of the requested levels that has data; null if only the pool has. */
  level: string | null
  /** Arrivals and shipments of that level, weighted by age. */
  arrivals: number
  consignments: number
  /** The shipments, unweighted. */
  unfadedConsignments: number
  /** Share of the estimate that comes from wider groups, 0 to 1; 1 if the own group has no data. */
  borrowedShare: number
}

export const PRESUMED_LOST_STEPS = 30

/** Fits the hazards of a stage to its observations. */
export function fitHazards(observations: Iterable<Observation>, options: FitOptions): Fit {
  const presumedLostSteps = options.presumedLostSteps ?? PRESUMED_LOST_STEPS
  const leastLast = Number.isFinite(presumedLostSteps) ? presumedLostSteps : 0
  const chooseWeights: typeof fitWeights = (counts, hierarchy, last) =>
    options.weights === undefined
      ? fitWeights(counts, hierarchy, last)
      : orderByDepth(options.weights, hierarchy.depth + 1)
  const asCounted = function* () {
    for (const observation of observations) yield applyPresumedLoss(observation, presumedLostSteps)
  }
  let all: Iterable<Observation> = asCounted()
  let halfLifeDays = options.halfLifeDays
  if (halfLifeDays === undefined) {
    const known = [...all]
    halfLifeDays = fitHalfLife(known, leastLast, chooseWeights).days
    all = known
  }
  const hierarchy = new GroupHierarchy()
  const counts = new FadingCounts(options.referenceAt, halfLifeDays)
  counts.addAll(all, hierarchy)
  const last = Math.max(leastLast, counts.lastStep(hierarchy.pool))
  const weights = chooseWeights(counts, hierarchy, last)
  const correlations =
    options.weights === undefined ? fitStepCorrelation(counts, hierarchy, last, weights) : []
  return new Fit(hierarchy, counts, { presumedLostSteps, halfLifeDays, weights, correlations })
}

/** Counts a shipment that is under way too long as never arriving. */
function applyPresumedLoss(observation: Observation, presumedLostSteps: number): Observation {
  assertCountable(observation)
  const isPresumedLost = !observation.hasArrived && observation.steps > presumedLostSteps
  return isPresumedLost ? { ...observation, steps: Number.POSITIVE_INFINITY } : observation
}

/** Turns weights given own group first and pool last into weights by depth. */
function orderByDepth(weights: number | readonly number[], depths: number): number[] {
  const given = typeof weights === 'number' ? Array<number>(depths).fill(weights) : [...weights].reverse()
  if (given.length < depths || !given.every((weight) => weight >= 0 && Number.isFinite(weight)))
    throw new RangeError(
      `Weights are finite and at least 0, one for each level and one for the pool: ${depths} here.`,
    )
  return given
}

interface Settings {
  presumedLostSteps: number
  halfLifeDays: number | null
  /** By depth, the pool's first. */
  weights: readonly number[]
  /** By depth: how much the deviations of a group's steps correlate. */
  correlations: readonly number[]
}

/**
 * The fitted hazards of a stage. Weights, correlations and half-life do not change when observations are added.
 */
export class Fit {
  readonly halfLifeDays: number | null
  readonly #hierarchy: GroupHierarchy
  readonly #counts: FadingCounts
  readonly #presumedLostSteps: number
  readonly #weights: number[]
  readonly #correlations: readonly number[]
  #shrinkage: Shrinkage | null = null

  constructor(hierarchy: GroupHierarchy, counts: FadingCounts, settings: Settings) {
    this.halfLifeDays = settings.halfLifeDays
    this.#hierarchy = hierarchy
    this.#counts = counts
    this.#presumedLostSteps = settings.presumedLostSteps
    this.#weights = [...settings.weights]
    this.#correlations = settings.correlations
  }

  /** As in `FitOptions`: own group first, pool last. */
  get weights(): number[] {
    return [...this.#weights].reverse()
  }

  /** The last step of the arrays; after it the tail's hazard holds. */
  get last(): number {
    return this.#getShrinkage().baseline.last
  }

  /**
   * The step from which on the pool has too few at risk for a hazard of each step, and the one hazard (above 0)
   * that holds from there.
   */
  get tail(): { from: number; hazard: number } {
    const { tailFrom, tail } = this.#getShrinkage().baseline
    return { from: tailFrom, hazard: tail.hazard }
  }

  /** The chance of arriving at each step from 0 to `last`, given not before. */
  hazards(levels: readonly string[]): Float64Array {
    return new Float64Array(this.#estimate(levels).hazard)
  }

  /** Variances of these hazards: of their posterior and of the prior they are shrunk to. */
  variances(levels: readonly string[]): Float64Array {
    return new Float64Array(this.#estimate(levels).variance)
  }

  /** The errors that several of these hazards share: see `Estimate.shared`. */
  shared(levels: readonly string[]): Float64Array[] {
    return this.#estimate(levels).shared.map((wrong) => Float64Array.from(wrong))
  }

  evidence(levels: readonly string[]): Evidence {
    let group = this.#hierarchy.find(levels)
    while (group.wider && this.#counts.getTotals(group).unfaded <= EPSILON) group = group.wider
    const { arrivals, shipments, unfaded } = this.#counts.getTotals(group)
    return {
      level: group.key,
      arrivals,
      consignments: shipments,
      unfadedConsignments: unfaded,
      borrowedShare: group.depth === levels.length ? this.#borrowedShare(group) : 1,
    }
  }

  /** The curve of a group, by step. Counts are 0 if the group has no data of its own. */
  curve(levels: readonly string[]): CurveStep[] {
    return computeCurve(this.#estimate(levels))
  }

  /**
   * The credible interval of the chance of not having arrived by the end of `step`, holding `share` of its
   * distribution.
   */
  interval(levels: readonly string[], step: number, share = 0.9): [number, number] {
    return computeInterval(this.#estimate(levels), step, share)
  }

  /** Adds an observation in constant time. */
  add(observation: Observation): void {
    this.#count(observation, 1)
  }

  /** Removes an observation that was added. */
  remove(observation: Observation): void {
    this.#count(observation, -1)
  }

  /** Weights age as of another date, ms UTC. */
  moveTo(referenceAt: number): void {
    this.#counts.moveTo(referenceAt)
    this.#shrinkage = null
  }

  #count(observation: Observation, sign: 1 | -1): void {
    const group = this.#hierarchy.findOrAdd(observation.levels)
    this.#counts.add(applyPresumedLoss(observation, this.#presumedLostSteps), group, sign)
    // A level that appears after the weights were fitted gets the weight of the next wider one.
    while (this.#weights.length <= this.#hierarchy.depth) this.#weights.push(this.#weights.at(-1) as number)
    this.#shrinkage = null
  }

  #getShrinkage(): Shrinkage {
    if (!this.#shrinkage) {
      const presumed = Number.isFinite(this.#presumedLostSteps) ? this.#presumedLostSteps : 0
      const last = Math.max(presumed, this.#counts.lastStep(this.#hierarchy.pool))
      this.#shrinkage = new Shrinkage(this.#counts, this.#hierarchy, last, this.#weights, this.#correlations)
    }
    return this.#shrinkage
  }

  #estimate(levels: readonly string[]): Estimate {
    const shrinkage = this.#getShrinkage()
    const group = this.#hierarchy.find(levels)
    let estimate = shrinkage.estimate(group)
    for (let depth = group.depth + 1; depth <= levels.length; depth += 1)
      estimate = shrinkage.estimateNewGroup(estimate, depth)
    return estimate
  }

  /** w / (n + w), averaged over the steps, weighted by the number at risk. */
  #borrowedShare(group: Group): number {
    const weight = this.#weights[group.depth] as number
    let [sum, total] = [0, 0]
    for (const exposed of this.#getShrinkage().getCounts(group).atRisk) {
      sum += exposed > 0 ? (exposed * weight) / (exposed + weight) : 0
      total += exposed
    }
    return total > EPSILON ? sum / total : 1
  }
}

/**
 * The correlation of the deviations of a group's steps from the wider group, by depth: 0 if they are
 * independent, 1 if a slow group is slow at every step by as much as groups differ. Method of moments: products
 * of the excess arrivals at two steps, against their expectation at correlation 1. Given who is still at risk,
 * chance alone does not correlate the arrivals at two steps, so it adds nothing to the products. The pool is in
 * no wider group: 0.
 *
 * @param last the last step of the counts.
 */
function fitStepCorrelation(
  counts: FadingCounts,
  hierarchy: GroupHierarchy,
  last: number,
  weights: readonly number[],
): number[] {
  const shrinkage = new Shrinkage(counts, hierarchy, last, weights)
  const products = weights.map(() => ({ seen: 0, most: 0 }))
  for (const group of hierarchy.groups) {
    const product = products[group.depth]
    if (!group.wider || !product) continue
    const weight = weights[group.depth] as number
    const { arrived, atRisk } = shrinkage.getCounts(group)
    const { hazard } = shrinkage.estimateWithout(group, group.wider)
    const [strays, most] = [createCrossProducts(), createCrossProducts()]
    for (let step = 0; step <= last; step += 1) {
      const exposed = atRisk[step] as number
      const expected = hazard[step] as number
      if (exposed <= 0) break
      // Divided by the sum of its own variance and its group's, so that no group dominates.
      strays.add(((arrived[step] as number) - exposed * expected) / (exposed + weight))
      most.add((exposed * Math.sqrt((expected * (1 - expected)) / (weight + 1))) / (exposed + weight))
    }
    product.seen += strays.sum()
    product.most += most.sum()
  }
  return products.map(({ seen, most }) => (most > 0 ? Math.min(1, Math.max(0, seen / most)) : 0))
}

/** Sums the products of all pairs of different numbers, each pair twice. */
function createCrossProducts() {
  let [sum, squares] = [0, 0]
  return {
    add(value: number) {
      sum += value
      squares += value * value
    },
    sum: () => sum * sum - squares,
  }
}
