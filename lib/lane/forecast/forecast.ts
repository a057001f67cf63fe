import type { Clock } from '@/lib/hold/clock'
import { DEFAULT_THRESHOLDS, type OpenStanding, type Thresholds } from '@/lib/hold/standing'
import type { Evidence } from '../model/fit'
import type { Journey } from '../model/journey'
import type { Stage } from '../model/stage'
import { type StopDays, StopDaysSum } from '../model/stopDays'
import { betaInterval } from '../model/survivalCurve'
import type { TransitModel, WeightedChain } from '../model/transitModel'
import { findRemainingPath, type RemainingPath } from './remainingPath'
import { findLastClosing } from './risk'
import { computeRiskVariance } from './riskVariance'

/** One stage of a forecast, with the data behind it. */
export interface ForecastStage {
  stage: Stage
  /** The groups it was estimated in, its own first. */
  levels: readonly string[]
  /** See `Fit.evidence`. */
  evidence: Evidence
  /** The first step at which it can still finish, as far as is known; 0 for a stage that has not begun. */
  notBeforeStep: number
}

/**
 * The chance of one local day where the stop is reported: the laboratory's, or the plant's for a stop before
 * transit.
 */
export interface DayChance {
  /** Day number. */
  day: number
  chance: number
}

/** When a running clock is likely to stop. Chances are 0 to 1. */
export interface Forecast {
  /** The name of the hold limit. */
  limit: string
  /** The chance that the clock stops after its due, or never. */
  risk: number
  /**
   * A 90 % credible interval of the risk: the Beta distribution whose variance is that of the hazards, by the
   * delta method.
   */
  low: number
  high: number
  /** The chance that it never stops. */
  never: number
  /** The days on which it may stop, ascending; their chances and `never` sum to 1. */
  days: readonly DayChance[]
  /** The local days by which it has stopped with a chance of 10, 50 and 90 %; null if `never` is too likely. */
  p10: number | null
  p50: number | null
  p90: number | null
  stages: readonly ForecastStage[]
  /** No receiving hours are left before the due: only an opening out of hours could save it. */
  needsOpening: boolean
}

/** The part of a forecast that does not depend on a due. */
export type ForecastDistribution = Pick<Forecast, 'never' | 'days' | 'p10' | 'p50' | 'p90' | 'stages'>

/**
 * When a clock that runs at `now` (ms UTC) will stop, by what was known of the sample then. Null if it does not
 * run, or there is no data on a stage that it needs.
 */
export function computeForecast(
  clock: Clock,
  journey: Journey,
  model: TransitModel,
  now: number,
): Forecast | null {
  const path = findRemainingPath(clock, journey, model, now)
  if (!path) return null
  const cutoffAt = path.cutoffAt(now)
  const risk = path.riskAt(cutoffAt)
  const [low, high] = betaInterval(risk, computeRiskVariance(path, cutoffAt), 0.9)
  const closesAt = findLastClosing(path, journey.laboratory, model)
  return {
    limit: clock.limit.name,
    risk,
    low,
    high,
    ...computeDistribution(path, cutoffAt),
    needsOpening: closesAt !== null && now >= closesAt,
  }
}

/** The distribution of the stop whatever its due, given that it has not come by `cutoffAt` (ms UTC). */
export function computeDistribution(path: RemainingPath, cutoffAt: number): ForecastDistribution {
  const stops = computeStopDays(path, cutoffAt)
  const by = (share: number) => findQuantileDay(stops, share)
  return {
    never: Math.max(0, 1 - (stops.cumulative.at(-1) ?? 0)),
    days: listDayChances(stops),
    p10: by(0.1),
    p50: by(0.5),
    p90: by(0.9),
    stages: listForecastStages(path, cutoffAt),
  }
}

/** The distribution over days, given that the stop has not come by `cutoffAt` (ms UTC). */
function computeStopDays(path: RemainingPath, cutoffAt: number): StopDays {
  const { step, observedShare } = path.progressAt(cutoffAt)
  const { startDay, earliestDueDay } = path
  const left = ({ chain }: WeightedChain) => chain.stopsLeft(startDay, step, observedShare, earliestDueDay)
  const [only, ...others] = path.weightedChains
  if (only && others.length === 0) return left(only)
  const sum = new StopDaysSum()
  for (const chain of path.weightedChains) sum.add(left(chain), chain.share)
  return sum.total()
}

function listDayChances({ first, chances }: StopDays): DayChance[] {
  const days: DayChance[] = []
  for (let index = 0; index < chances.length; index += 1) {
    const chance = chances[index] as number
    if (chance > 0) days.push({ day: first + index, chance })
  }
  return days
}

/** The first day with a cumulative chance of `share`; null if it is never reached. */
function findQuantileDay({ first, cumulative }: StopDays, share: number): number | null {
  const index = cumulative.findIndex((chance) => chance >= share - 1e-12)
  return index < 0 ? null : first + index
}

/** The stages by the likeliest chain. */
function listForecastStages(path: RemainingPath, cutoffAt: number): ForecastStage[] {
  const legs = path.weightedChains[0]?.chain.legs ?? []
  return legs.map(({ stage, levels, evidence }, index) => ({
    stage,
    levels,
    evidence,
    notBeforeStep: index === 0 ? path.progressAt(cutoffAt).step : 0,
  }))
}

/**
 * The standing of a running clock by its forecast. It is at risk if only an opening out of hours could save it.
 */
export function rateByRisk(
  { risk, needsOpening }: Pick<Forecast, 'risk' | 'needsOpening'>,
  thresholds: Thresholds = DEFAULT_THRESHOLDS,
): OpenStanding {
  if (needsOpening || risk >= thresholds.atRisk) return 'at risk'
  return risk >= thresholds.tight ? 'tight' : 'sound'
}
