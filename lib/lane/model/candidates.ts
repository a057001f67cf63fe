import { type Fit, fitOf } from './fit'
import {
  CANDIDATES,
  type Candidate,
  type InfluencedStep,
  Influences,
  influenced,
  type Multipliers,
  stratumOf,
} from './influence'
import type { SeenStage } from './observations'
import type { PlaceDays } from './reporter'
import { type Stage, stageKind } from './stage'

/** How a candidate did on the later part of the past. */
export interface Trial {
  candidate: Candidate
  /** It improved the score there by more than its standard error, and is used. */
  isUsed: boolean
  /** By how much the logarithm of the chance of what happened rose, per consignment, and the standard error of that. */
  gain: number
  stdErr: number
}

export interface Trials {
  trials: readonly Trial[]
  /** Null where no candidate is used. */
  influences: Influences | null
}

/** Fewer consignments than this tell nothing of a candidate. */
const FEWEST = 100
/** Only the newest are looked at where there are more. */
const MOST = 20_000
/** The share of the past that the candidates are fitted to, before they are tried on the rest. */
const EARLIER = 2 / 3
/** How many arrivals a multiplier of 1 weighs against what was seen in a stratum. */
const PULL = 20
/** No step is followed further. */
const LAST_STEP = 30

/** One step at which a shipment was at risk. */
interface Risked extends InfluencedStep {
  hazard: number
  hasArrived: boolean
  /** Of the observation, and of the cluster that it belongs to. */
  weight: number
  cluster: string
}

/**
 * Tries the candidates on a stage's past: fitted to its earlier part and scored on the later one, each consignment
 * once. The best one that improves the logarithmic score by more than its standard error is used, then the others are
 * tried beside it.
 */
export function tryCandidates(
  stage: Stage,
  seen: readonly SeenStage[],
  fit: Fit,
  placeDays: PlaceDays,
): Trials {
  const told = seen.filter(({ steps }) => steps >= 0).sort((a, b) => a.startedAt - b.startedAt)
  const newest = told.slice(-MOST)
  if (clustersIn(newest) < FEWEST) return { trials: [], influences: null }
  const split = Math.floor(newest.length * EARLIER)
  const splitAt = newest[split]?.startedAt as number
  const [earlier, later] = [newest.slice(0, split), newest.slice(split)]
  const { weights, halfLifeDays } = fit
  const early = fitOf(earlier, { referenceAt: splitAt, weights, halfLifeDays })
  const [learnt, tried] = [earlier, later].map((some) => riskedIn(stage, some, early, placeDays)) as [
    Risked[],
    Risked[],
  ]
  const trials: Trial[] = []
  const used: Candidate[] = []
  const waiting = new Set(CANDIDATES.filter((one) => canConcern(one, stage)))
  while (waiting.size > 0) {
    const round = [...waiting].map((candidate) => {
      const multipliers = multipliersOf(candidate, learnt)
      return { multipliers, ...scoreOf(multipliers, tried) }
    })
    const best = round.reduce((one, other) => (other.gain > one.gain ? other : one))
    const isUsed = best.gain > best.stdErr
    for (const { multipliers, gain, stdErr } of isUsed ? [best] : round) {
      const { candidate } = multipliers
      trials.push({ candidate, isUsed, gain, stdErr })
      waiting.delete(candidate)
      if (!isUsed) continue
      used.push(candidate)
      for (const steps of [learnt, tried]) apply(multipliers, steps)
    }
  }
  return {
    trials,
    influences: used.length > 0 ? influencesOf(used, riskedIn(stage, newest, fit, placeDays)) : null,
  }
}

function canConcern(candidate: Candidate, stage: Stage): boolean {
  return candidate !== 'open days left to due' || stageKind(stage) === 'laboratory'
}

/** The multipliers of all candidates used, fitted to the whole of the past one after another. */
function influencesOf(used: readonly Candidate[], risked: Risked[]): Influences {
  const all: Multipliers[] = []
  for (const candidate of used) {
    const multipliers = multipliersOf(candidate, risked)
    apply(multipliers, risked)
    all.push(multipliers)
  }
  return new Influences(all)
}

function clustersIn(seen: readonly SeenStage[]): number {
  return new Set(seen.map(clusterOf)).size
}

function clusterOf({ consignment }: SeenStage, index: number): string {
  return consignment === null ? `#${index}` : `=${consignment}`
}

/** Each step at which each shipment was at risk, with its hazard. */
function riskedIn(stage: Stage, seen: readonly SeenStage[], fit: Fit, placeDays: PlaceDays): Risked[] {
  const hazards = new Map<string, Float64Array>()
  return seen.flatMap((one, index) => {
    const { levels, place, startDay, dueDay, steps, hasArrived, weight } = one
    const key = levels.join('\n')
    const ofLevels = hazards.get(key) ?? fit.hazards(levels)
    hazards.set(key, ofLevels)
    const days = placeDays.of(stage.to, place)
    const last = Math.min(steps, ofLevels.length - 1, LAST_STEP)
    const dayOf = days.daysOfSteps(startDay, last)
    return Array.from({ length: last + 1 }, (_, step) => ({
      place,
      days,
      step,
      day: dayOf[step] as number,
      dayBefore: dayOf[Math.max(0, step - 1)] as number,
      dueDay,
      // Neither certain nor impossible, so that its logarithm can be taken.
      hazard: Math.min(1 - 1e-9, Math.max(1e-9, ofLevels[step] as number)),
      hasArrived: hasArrived && step === steps,
      weight,
      cluster: clusterOf(one, index),
    }))
  })
}

function apply({ candidate, byStratum }: Multipliers, risked: readonly Risked[]): void {
  for (const one of risked) {
    const stratum = stratumOf(candidate, one)
    if (stratum !== null) one.hazard = influenced(one.hazard, byStratum.get(stratum) ?? 1)
  }
}

/** The likeliest multiplier of each stratum, drawn to 1. */
function multipliersOf(candidate: Candidate, risked: readonly Risked[]): Multipliers {
  const strata = new Map<string, Risked[]>()
  for (const one of risked) {
    const stratum = stratumOf(candidate, one)
    if (stratum === null) continue
    const others = strata.get(stratum)
    if (others) others.push(one)
    else strata.set(stratum, [one])
  }
  return {
    candidate,
    byStratum: new Map([...strata].map(([stratum, steps]) => [stratum, likeliest(steps)])),
  }
}

const GOLDEN = (Math.sqrt(5) - 1) / 2

/**
 * The m that makes what was seen likeliest, with a Gamma prior whose mode is 1 and that weighs PULL arrivals; between a
 * tenth and ten, by golden section on its logarithm.
 */
function likeliest(steps: readonly Risked[]): number {
  const likelihood = (log: number) => {
    const multiplier = Math.exp(log)
    let sum = PULL * (log - multiplier)
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

/** By how much the multipliers raise the logarithmic score of what was seen, per consignment. */
function scoreOf(multipliers: Multipliers, risked: readonly Risked[]): { gain: number; stdErr: number } {
  const byCluster = new Map<string, number>()
  for (const one of risked) {
    const stratum = stratumOf(multipliers.candidate, one)
    const multiplier = stratum === null ? 1 : (multipliers.byStratum.get(stratum) ?? 1)
    const hazard = influenced(one.hazard, multiplier)
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
