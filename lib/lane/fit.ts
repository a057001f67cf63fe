import { type Group, Groups } from './groups'
import { assertCountable, type Observation } from './observation'
import { type Estimate, estimateOf, type Footing, footingOf } from './shrinkage'
import { type CurveStep, curveOf, intervalOf } from './survivalCurve'
import { NEARLY_NOTHING } from './tally'
import { fittedWeights } from './weightFit'

export interface FitOptions {
  /** The date, ms UTC, at which what is old is weighed. */
  referenceAt: number
  /** Under way for more steps than this and not arrived: it never will. 30 unless set; Infinity presumes nothing. */
  presumedLostSteps?: number
  /** Shipments' worth of pull to the wider group: one for all levels, or for each, own group first and the pool last. Fitted where absent. */
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
export function fitOf(observations: Iterable<Observation>, options: FitOptions): Fit {
  const groups = new Groups(options.referenceAt, options.halfLifeDays ?? null)
  const presumedLostSteps = options.presumedLostSteps ?? PRESUMED_LOST_STEPS
  for (const observation of observations) groups.add(counted(observation, presumedLostSteps))
  const footing = footingOf(groups, lastStep(groups, presumedLostSteps))
  return new Fit(groups, {
    presumedLostSteps,
    halfLifeDays: options.halfLifeDays ?? null,
    weights: weightsByDepth(options.weights, groups, footing),
  })
}

/** An observation as it counts: under way too long, it never arrives. */
function counted(observation: Observation, presumedLostSteps: number): Observation {
  assertCountable(observation)
  const isPresumedLost = !observation.hasArrived && observation.steps > presumedLostSteps
  return isPresumedLost ? { ...observation, steps: Number.POSITIVE_INFINITY } : observation
}

function lastStep(groups: Groups, presumedLostSteps: number): number {
  return Math.max(0, groups.pool.tally.lastStep(), Number.isFinite(presumedLostSteps) ? presumedLostSteps : 0)
}

function weightsByDepth(weights: FitOptions['weights'], groups: Groups, footing: Footing): number[] {
  if (weights === undefined) return fittedWeights(groups, footing)
  const depths = groups.depth + 1
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
}

/** The fitted hazards of a stage. Weights and half-life stay as fitted when more is added. */
export class Fit {
  readonly #groups: Groups
  readonly #settings: Settings
  /** By depth, the pool's first. */
  readonly #weights: number[]
  readonly #estimates = new Map<Group, Estimate>()
  #footing: Footing | null = null

  constructor(groups: Groups, settings: Settings) {
    this.#groups = groups
    this.#settings = settings
    this.#weights = [...settings.weights]
  }

  get halfLifeDays(): number | null {
    return this.#settings.halfLifeDays
  }

  /** As `FitOptions` takes them: own group first, the pool last. */
  get weights(): number[] {
    return [...this.#weights].reverse()
  }

  /** The last step of the arrays; the tail's hazard holds after it. */
  get last(): number {
    return this.#standing().last
  }

  /** From which step on the pool has so few at risk that one hazard holds for all of them, and that hazard (above 0). */
  get tail(): { from: number; hazard: number } {
    const { tailFrom, tail } = this.#standing()
    return { from: tailFrom, hazard: tail.hazard }
  }

  /** The chance of arriving at each step from 0 to `last`, given not before. */
  hazards(levels: readonly string[]): Float64Array {
    return this.#estimate(levels).hazard.slice()
  }

  /** Variances of these hazards, from their posterior and from what they were pulled to. */
  variances(levels: readonly string[]): Float64Array {
    return this.#estimate(levels).variance.slice()
  }

  evidence(levels: readonly string[]): Evidence {
    let group = this.#groups.find(levels)
    while (group.wider && group.tally.unfaded <= NEARLY_NOTHING) group = group.wider
    const { tally } = group
    const { factor } = this.#groups
    return {
      level: group.key,
      arrivals: tally.arrivedInAll * factor,
      consignments: tally.inAll * factor,
      unfadedConsignments: tally.unfaded,
      borrowedShare: group.depth === levels.length ? this.#borrowedShare(group) : 1,
    }
  }

  /** The curve of the innermost level known, step by step. Counts are 0 where the own group has no record. */
  curve(levels: readonly string[]): CurveStep[] {
    const curve = curveOf(this.#estimate(levels))
    if (this.#groups.find(levels).depth === levels.length) return curve
    return curve.map((row) => ({ ...row, atRisk: 0, arrived: 0 }))
  }

  /** The credible interval holding `share` of what the chance of not having arrived by the end of `step` may be. */
  interval(levels: readonly string[], step: number, share = 0.9): [number, number] {
    return intervalOf(this.#estimate(levels), step, share)
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
    this.#groups.moveTo(referenceAt)
    this.#forget()
  }

  #count(observation: Observation, sign: 1 | -1): void {
    this.#groups.add(counted(observation, this.#settings.presumedLostSteps), sign)
    // A level that was not there when the weights were fitted is pulled as the one around it is.
    while (this.#weights.length <= this.#groups.depth) this.#weights.push(this.#weights.at(-1) as number)
    this.#forget()
  }

  #forget(): void {
    this.#estimates.clear()
    this.#footing = null
  }

  #standing(): Footing {
    this.#footing ??= footingOf(this.#groups, lastStep(this.#groups, this.#settings.presumedLostSteps))
    return this.#footing
  }

  /** A group that is not known has no record, so it is what the wider group is with all of its own. */
  #estimate(levels: readonly string[]): Estimate {
    const group = this.#groups.find(levels)
    let estimate = this.#estimates.get(group)
    if (!estimate) {
      estimate = estimateOf(this.#groups, group, this.#weights, this.#standing())
      this.#estimates.set(group, estimate)
    }
    return estimate
  }

  /** w / (n + w), averaged over the steps by how many were at risk at each. */
  #borrowedShare(group: Group): number {
    const weight = this.#weights[group.depth] as number
    const { atRisk } = this.#groups.counts(group, this.last)
    let [sum, total] = [0, 0]
    for (const exposed of atRisk) {
      sum += exposed > 0 ? (exposed * weight) / (exposed + weight) : 0
      total += exposed
    }
    return total > NEARLY_NOTHING ? sum / total : 1
  }
}
