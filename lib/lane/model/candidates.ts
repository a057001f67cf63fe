import { type Fit, fitHazards } from './fit'
import {
  applyMultiplier,
  CANDIDATES,
  type Candidate,
  findStratum,
  type InfluencedStep,
  Influences,
  type Multipliers,
} from './influence'
import type { StageObservation } from './observations'
import type { PlaceDays } from './reporter'
import { type Stage, stageKind } from './stage'

/** How a candidate scored on the later part of the past. */
export interface CandidateTrial {
  candidate: Candidate
  /** The score improved by more than its standard error, so the candidate is used. */
  isUsed: boolean
  /** Gain in mean log score per consignment, and its standard error. */
  gain: number
  stdErr: number
}

export interface CandidateTrials {
  trials: readonly CandidateTrial[]
  /** Null if no candidate is used. */
  influences: Influences | null
}

/** Fewer consignments than this say nothing about a candidate. */
const MIN_CONSIGNMENTS = 100
/** If there are more, only the newest are used. */
const MAX_STAGES = 20_000
/** Share of the past that candidates are fitted to; they are scored on the rest. */
const TRAINING_SHARE = 2 / 3
/** Weight of the prior for a multiplier of 1, in arrivals. */
const PRIOR_ARRIVALS = 20
/** Later steps are not followed. */
const LAST_STEP = 30

/** One step at which a shipment was at risk. */
interface RiskedStep extends InfluencedStep {
  hazard: number
  hasArrived: boolean
  /** Weight of its observation, and the cluster that the observation belongs to. */
  weight: number
  cluster: string
}

/**
 * Tries the candidates on a stage's past: fits them to its earlier part and scores them on the later part, each
 * consignment once. The best one is used if it improves the log score by more than its standard error; the
 * others are then tried beside it.
 */
export function tryCandidates(
  stage: Stage,
  seen: readonly StageObservation[],
  fit: Fit,
  placeDays: PlaceDays,
): CandidateTrials {
  const observed = seen.filter(({ steps }) => steps >= 0).sort((a, b) => a.startedAt - b.startedAt)
  const newest = observed.slice(-MAX_STAGES)
  if (countClusters(newest) < MIN_CONSIGNMENTS) return { trials: [], influences: null }
  const split = Math.floor(newest.length * TRAINING_SHARE)
  const splitAt = newest[split]?.startedAt as number
  const [earlier, later] = [newest.slice(0, split), newest.slice(split)]
  const { weights, halfLifeDays } = fit
  const early = fitHazards(earlier, { referenceAt: splitAt, weights, halfLifeDays })
  const [learnt, tried] = [earlier, later].map((some) => listRiskedSteps(stage, some, early, placeDays)) as [
    RiskedStep[],
    RiskedStep[],
  ]
  const trials: CandidateTrial[] = []
  const used: Candidate[] = []
  const waiting = new Set(CANDIDATES.filter((one) => isApplicable(one, stage)))
  while (waiting.size > 0) {
    const round = [...waiting].map((candidate) => {
      const multipliers = fitMultipliers(candidate, learnt)
      return { multipliers, ...scoreMultipliers(multipliers, tried) }
    })
    const best = round.reduce((one, other) => (other.gain > one.gain ? other : one))
    const isUsed = best.gain > best.stdErr
    for (const { multipliers, gain, stdErr } of isUsed ? [best] : round) {
      const { candidate } = multipliers
      trials.push({ candidate, isUsed, gain, stdErr })
      waiting.delete(candidate)
      if (!isUsed) continue
      used.push(candidate)
      for (const steps of [learnt, tried]) applyMultipliers(multipliers, steps)
    }
  }
  return {
    trials,
    influences: used.length > 0 ? fitInfluences(used, listRiskedSteps(stage, newest, fit, placeDays)) : null,
  }
}

function isApplicable(candidate: Candidate, stage: Stage): boolean {
  return candidate !== 'open days left to due' || stageKind(stage) === 'laboratory'
}

/** Fits the multipliers of all candidates used to the whole past, one after another. */
function fitInfluences(used: readonly Candidate[], risked: RiskedStep[]): Influences {
  const all: Multipliers[] = []
  for (const candidate of used) {
    const multipliers = fitMultipliers(candidate, risked)
    applyMultipliers(multipliers, risked)
    all.push(multipliers)
  }
  return new Influences(all)
}

function countClusters(seen: readonly StageObservation[]): number {
  return new Set(seen.map(getCluster)).size
}

function getCluster({ consignment }: StageObservation, index: number): string {
  return consignment === null ? `#${index}` : `=${consignment}`
}

/** Lists every step at which each shipment was at risk, with its hazard. */
function listRiskedSteps(
  stage: Stage,
  seen: readonly StageObservation[],
  fit: Fit,
  placeDays: PlaceDays,
): RiskedStep[] {
  const hazards = new Map<string, Float64Array>()
  return seen.flatMap((one, index) => {
    const { levels, place, startDay, dueDay, steps, hasArrived, weight } = one
    const key = levels.join('\n')
    const hazardBySteps = hazards.get(key) ?? fit.hazards(levels)
    hazards.set(key, hazardBySteps)
    const days = placeDays.getDays(stage.to, place)
    const last = Math.min(steps, hazardBySteps.length - 1, LAST_STEP)
    const stepDays = days.listStepDays(startDay, last)
    return Array.from({ length: last + 1 }, (_, step) => ({
      place,
      days,
      step,
      day: stepDays[step] as number,
      dayBefore: stepDays[Math.max(0, step - 1)] as number,
      dueDay,
      // Kept off 0 and 1, so that its logarithm is finite.
      hazard: Math.min(1 - 1e-9, Math.max(1e-9, hazardBySteps[step] as number)),
      hasArrived: hasArrived && step === steps,
      weight,
      cluster: getCluster(one, index),
    }))
  })
}

function applyMultipliers({ candidate, byStratum }: Multipliers, risked: readonly RiskedStep[]): void {
  for (const one of risked) {
    const stratum = findStratum(candidate, one)
    if (stratum !== null) one.hazard = applyMultiplier(one.hazard, byStratum.get(stratum) ?? 1)
  }
}

/** Fits the likeliest multiplier of each stratum, shrunk towards 1. */
function fitMultipliers(candidate: Candidate, risked: readonly RiskedStep[]): Multipliers {
  const strata = new Map<string, RiskedStep[]>()
  for (const one of risked) {
    const stratum = findStratum(candidate, one)
    if (stratum === null) continue
    const others = strata.get(stratum)
    if (others) others.push(one)
    else strata.set(stratum, [one])
  }
  return {
    candidate,
    byStratum: new Map([...strata].map(([stratum, steps]) => [stratum, findLikeliestMultiplier(steps)])),
  }
}

const GOLDEN = (Math.sqrt(5) - 1) / 2

/**
 * Maximises the likelihood of m under a Gamma prior with mode 1 and the weight of PRIOR_ARRIVALS arrivals;
 * golden section on log m, between 0.1 and 10.
 */
function findLikeliestMultiplier(steps: readonly RiskedStep[]): number {
  const likelihood = (log: number) => {
    const multiplier = Math.exp(log)
    let sum = PRIOR_ARRIVALS * (log - multiplier)
    for (const { hazard, hasArrived, weight } of steps) {
      const stays = multiplier * Math.log1p(-hazard)
      sum += weight * (hasArrived ? Math.log(-Math.expm1(stays)) : stays)
    }
    return sum
  }
  let [low, high] = [Math.log(0.1), Math.log(10)]
  while (high - low > 1e-3) {
    const third = GOLDEN * (high - low)
    if (likelihood(high - third) < likelihood(low + third)) low = high - third
    else high = low + third
  }
  return Math.exp((low + high) / 2)
}

/** Mean gain in log score per consignment. */
function scoreMultipliers(
  multipliers: Multipliers,
  risked: readonly RiskedStep[],
): { gain: number; stdErr: number } {
  const byCluster = new Map<string, number>()
  for (const one of risked) {
    const stratum = findStratum(multipliers.candidate, one)
    const multiplier = stratum === null ? 1 : (multipliers.byStratum.get(stratum) ?? 1)
    const hazard = applyMultiplier(one.hazard, multiplier)
    const gain = one.hasArrived
      ? Math.log(hazard / one.hazard)
      : Math.log1p(-hazard) - Math.log1p(-one.hazard)
    byCluster.set(one.cluster, (byCluster.get(one.cluster) ?? 0) + one.weight * gain)
  }
  const gains = [...byCluster.values()]
  const mean = gains.reduce((sum, gain) => sum + gain, 0) / gains.length
  const squares = gains.reduce((sum, gain) => sum + (gain - mean) ** 2, 0)
  return { gain: mean, stdErr: Math.sqrt(squares / (gains.length * Math.max(1, gains.length - 1))) }
}
