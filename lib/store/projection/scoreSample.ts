import type { Clock } from '@/lib/hold/clock'
import {
  canBind,
  computeStandingTimes,
  findBindingClock,
  type StandingTimes,
  type Thresholds,
} from '@/lib/hold/standing'
import { computeForecast, type Forecast } from '@/lib/lane/forecast/forecast'
import { findRiskThresholdTimes } from '@/lib/lane/forecast/risk'
import type { Journey } from '@/lib/lane/model/journey'
import type { TransitModel } from '@/lib/lane/model/transitModel'

/** The forecast of a running clock, and when its standing gets worse if nothing is reported (ms UTC; null for never). */
export type ScoredForecast = Forecast & RiskTimes

/** The chances that an open sample misses its limits, when it was scored. Instants in ms UTC. */
export interface Score {
  /** The limit that binds it: the one that is likeliest to be missed. */
  limit: string
  /** The forecast of that limit's clock; null if only other clocks have one. */
  binding: ScoredForecast | null
  /** In the order of the limits' names. */
  forecasts: ScoredForecast[]
  /** When the standing gets worse if nothing is reported; if it already has, when its clock started. */
  tightAt: number | null
  atRiskAt: number | null
}

/**
 * Scores an open sample at `now` (ms UTC). A running clock without a forecast gets worse by the share of its time that is used.
 * Null if no clock has a forecast.
 */
export function scoreSample(
  { journey, clocks }: { journey: Journey; clocks: readonly Clock[] },
  thresholds: Thresholds,
  model: TransitModel,
  now: number,
): Score | null {
  const running = clocks.filter(canBind)
  const forecasts = running.flatMap((clock): ScoredForecast[] => {
    const forecast = computeForecast(clock, journey, model, now)
    const times = forecast && findRiskThresholdTimes(clock, journey, model, now, thresholds)
    return times ? [{ ...forecast, ...backdatePassedTimes(clock, times, now) }] : []
  })
  const risks = new Map(forecasts.map(({ limit, risk }) => [limit, risk]))
  const limit = findBindingClock(running, now, risks)?.limit.name
  if (limit === undefined || forecasts.length === 0) return null
  const others = running.filter((clock) => !risks.has(clock.limit.name))
  const times = [
    ...forecasts,
    ...others.map((clock) => backdatePassedTimes(clock, computeStandingTimes([clock]), now)),
  ]
  return {
    limit,
    binding: forecasts.find((forecast) => forecast.limit === limit) ?? null,
    forecasts: forecasts.sort((a, b) => (a.limit < b.limit ? -1 : 1)),
    tightAt: findEarliest(times.map(({ tightAt }) => tightAt)),
    atRiskAt: findEarliest(times.map(({ atRiskAt }) => atRiskAt)),
  }
}

type RiskTimes = Pick<StandingTimes, 'tightAt' | 'atRiskAt'>

/** A time that has passed is dated back to the start, so that a reader with an earlier `now` sees it too. */
function backdatePassedTimes({ startedAt }: Clock, times: RiskTimes, now: number): RiskTimes {
  const since = (at: number | null) => (at !== null && at <= now ? startedAt : at)
  return { tightAt: since(times.tightAt), atRiskAt: since(times.atRiskAt) }
}

function findEarliest(instants: readonly (number | null)[]): number | null {
  const known = instants.filter((at) => at !== null)
  return known.length > 0 ? Math.min(...known) : null
}
