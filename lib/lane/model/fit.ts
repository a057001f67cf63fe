import { FadingCounts } from './fadingCounts'
import { type Group, GroupHierarchy } from './groupHierarchy'
import { fitHalfLife } from './halfLife'
import { assertCountable, type Observation } from './observation'
import { type Estimate, Shrinkage } from './shrinkage'
import { EPSILON } from './stepCounter'
import { type CurveStep, computeCurve, computeInterval } from './survivalCurve'
import { fitWeights } from './weightFit'

export interface FitOptions {
  /** The date, ms UTC, at which what is old is weighed. */
  referenceAt: number
  /** Under way for more steps than this and not arrived: it never will. 30 unless set; Infinity presumes nothing. */
  presumedLostSteps?: number
  /**
   * Shipments' worth of pull to the wider group: one for all levels, or for each, own group first and the pool last.
   * Fitted where absent; where set, a group's steps are taken to stray each by itself.
   */
  weights?: number | readonly number[]
  /** In how many days (of 86,400 s) a shipment's weight halves; null: nothing fades. Fitted where absent. */
  halfLifeDays?: number | null
}

/** What an estimate rests on. */
export interface Evidence {
  /** The innermost of the levels asked for that has any record; null: only the pool has. */
  level: string | null
  /** Arrivals and shipments of that level, each faded by its age. */
  arrivals: number
  consignments: number
  /** The shipments, each in full however old. */
  unfadedConsignments: number
  /** 0 to 1: how much of the estimate comes from the wider groups. 1 where the own group has no record. */
  borrowedShare: number
}

export const PRESUMED_LOST_STEPS = 30

/** Fits the hazards of a stage to what was seen of it. */
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

/** An observation as it counts: under way too long, it never arrives. */
function applyPresumedLoss(observation: Observation, presumedLostSteps: number): Observation {
  assertCountable(observation)
  const isPresumedLost = !observation.hasArrived && observation.steps > presumedLostSteps
  return isPresumedLost ? { ...observation, steps: Number.POSITIVE_INFINITY } : observation
}

/** Weights given for the own group first and the pool last, by depth. */
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
  /** By depth, how alike the steps of a group stray. */
  correlations: readonly number[]
}

/** The fitted hazards of a stage. Weights, correlation and half-life stay as fitted when more is added. */
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

  /** As `FitOptions` takes them: own group first, the pool last. */
  get weights(): number[] {
    return [...this.#weights].reverse()
  }

  /** The last step of the arrays; the tail's hazard holds after it. */
  get last(): number {
    return this.#getShrinkage().baseline.last
  }

  /** From which step on the pool has so few at risk that one hazard holds for all of them, and that hazard (above 0). */
  get tail(): { from: number; hazard: number } {
    const { tailFrom, tail } = this.#getShrinkage().baseline
    return { from: tailFrom, hazard: tail.hazard }
  }

  /** The chance of arriving at each step from 0 to `last`, given not before. */
  hazards(levels: readonly string[]): Float64Array {
    return new Float64Array(this.#estimate(levels).hazard)
  }

  /** Variances of these hazards, from their posterior and from what they were pulled to. */
  variances(levels: readonly string[]): Float64Array {
    return new Float64Array(this.#estimate(levels).variance)
  }

  /** What several of these hazards may be wrong by together: `Estimate.shared`. */
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

  /** The curve of the group, step by step. Counts are 0 where it has no record of its own. */
  curve(levels: readonly string[]): CurveStep[] {
    return computeCurve(this.#estimate(levels))
  }

  /** The credible interval holding `share` of what the chance of not having arrived by the end of `step` may be. */
  interval(levels: readonly string[], step: number, share = 0.9): [number, number] {
    return computeInterval(this.#estimate(levels), step, share)
  }

  /** Counts one more observation, in time that does not grow with how many there are. */
  add(observation: Observation): void {
    this.#count(observation, 1)
  }

  /** Takes out one that was added, as if it never had been. */
  remove(observation: Observation): void {
    this.#count(observation, -1)
  }

  /** Weighs what is old as at another date, ms UTC. */
  moveTo(referenceAt: number): void {
    this.#counts.moveTo(referenceAt)
    this.#shrinkage = null
  }

  #count(observation: Observation, sign: 1 | -1): void {
    const group = this.#hierarchy.findOrAdd(observation.levels)
    this.#counts.add(applyPresumedLoss(observation, this.#presumedLostSteps), group, sign)
    // A level that was not there when the weights were fitted is pulled as the one around it is.
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

  /** w / (n + w), averaged over the steps by how many were at risk at each. */
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
 * How alike the steps of a group stray from those of the wider one, by depth: 0 where each strays by itself, 1 where a
 * slow group is slow at every step by as much as groups differ. By moments: the products of what two steps of a group
 * had more or fewer arrivals than was expected, against what they would be on average if correlation were 1. Chance alone
 * does not tie one step's arrivals to the next one's, given who is still at risk, so it adds nothing to these products.
 * The pool is not within anything: 0.
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
