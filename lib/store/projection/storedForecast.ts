import { z } from 'zod'
import { MILESTONES } from '@/lib/hold/milestone'
import type { DayChance } from '@/lib/lane/forecast/forecast'
import type { Score } from './scoreSample'

/** The forecast of the clock that binds a sample, as a list shows it. Chances are 0 to 1, days are day numbers. */
export interface SampleForecast {
  /** The name of the hold limit. */
  limit: string
  /** The chance that it is missed, with a 90 % credible interval. */
  risk: number
  low: number
  high: number
  /** The days by which it has stopped with a chance of 10, 50 and 90 %, in the zone of its stop; null if the chance is never that high. */
  p10: number | null
  p50: number | null
  p90: number | null
  days: readonly DayChance[]
  /** Only an opening out of hours could save it. */
  needsOpening: boolean
  /** ms UTC */
  scoredAt: number
}

const stopDays = z.strictObject({
  p10: z.number().nullable(),
  p50: z.number().nullable(),
  p90: z.number().nullable(),
  days: z.array(z.strictObject({ day: z.number(), chance: z.number() })).readonly(),
})

const forecastStage = z.strictObject({
  stage: z.strictObject({ from: z.enum(MILESTONES), to: z.enum(MILESTONES) }),
  levels: z.array(z.string()).readonly(),
  evidence: z.strictObject({
    level: z.string().nullable(),
    arrivals: z.number(),
    consignments: z.number(),
    unfadedConsignments: z.number(),
    borrowedShare: z.number(),
  }),
  notBeforeStep: z.number(),
})

/** The column `forecast.detail`. */
export const forecastDetail = z.strictObject({
  /** The chance to miss each limit that has a forecast, by its name. */
  risks: z.record(z.string(), z.number()),
  binding: stopDays.nullable(),
  /** See `ScoredForecast`. */
  forecasts: z.array(
    stopDays.extend({
      limit: z.string(),
      risk: z.number(),
      low: z.number(),
      high: z.number(),
      never: z.number(),
      stages: z.array(forecastStage).readonly(),
      needsOpening: z.boolean(),
      tightAt: z.number().nullable(),
      atRiskAt: z.number().nullable(),
    }),
  ),
})

/** A score as the column `forecast.detail` keeps it. */
export function toStoredForecast({ binding, forecasts }: Score): z.infer<typeof forecastDetail> {
  return {
    risks: Object.fromEntries(forecasts.map(({ limit, risk }) => [limit, risk])),
    binding: binding && {
      p10: binding.p10,
      p50: binding.p50,
      p90: binding.p90,
      days: roundChances(binding.days),
    },
    forecasts: forecasts.map((forecast) => ({ ...forecast, days: roundChances(forecast.days) })),
  }
}

/** Chances to a hundred-thousandth, without those that round to 0. */
function roundChances(days: readonly DayChance[]): DayChance[] {
  return days
    .map(({ day, chance }) => ({ day, chance: Math.round(chance * 100_000) / 100_000 }))
    .filter(({ chance }) => chance > 0)
}

/** The columns that `SCORED_SAMPLES` adds to the table `sample`; all null without a forecast. */
export const forecastColumns = z.object({
  forecast_limit: z.string().nullable(),
  risk: z.number().nullable(),
  low: z.number().nullable(),
  high: z.number().nullable(),
  needs_opening: z.boolean().nullable(),
  scored_at: z.date().nullable(),
  risks: forecastDetail.shape.risks.nullable(),
  binding: forecastDetail.shape.binding,
})

/**
 * The samples with their forecasts. `tight_at` and `at_risk_at` of the sample are those by the share of time used;
 * `risk_tight_at` and `risk_at_risk_at` are those by the chance, and replace them where there is a forecast.
 */
export const SCORED_SAMPLES = `sample left join (
  select code as scored_code, limit_name as forecast_limit, tight_at as risk_tight_at, at_risk_at as risk_at_risk_at,
    risk, low, high, needs_opening, scored_at, detail -> 'risks' as risks, detail -> 'binding' as binding
  from forecast where limit_name is not null) as scored on scored_code = code`

/** When a sample of `SCORED_SAMPLES` becomes tight or at risk: by its forecast, else by the share of time used. */
export const TIGHT_AT = 'case when forecast_limit is null then tight_at else risk_tight_at end'
export const AT_RISK_AT = 'case when forecast_limit is null then at_risk_at else risk_at_risk_at end'

/** Null if there is no forecast, or if it is for another limit. */
export function toSampleForecast(
  { forecast_limit, risk, low, high, needs_opening, scored_at, binding }: z.infer<typeof forecastColumns>,
  limit: string | undefined,
): SampleForecast | null {
  if (limit === undefined || forecast_limit !== limit) return null
  if (risk === null || low === null || high === null || scored_at === null || binding === null) return null
  return {
    limit,
    risk,
    low,
    high,
    ...binding,
    needsOpening: needs_opening === true,
    scoredAt: scored_at.getTime(),
  }
}
