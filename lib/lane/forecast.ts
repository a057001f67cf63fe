import type { Stage } from './stage'

/** One stage of a forecast, with what its estimate rests on. */
export interface ForecastStage {
  stage: Stage
  /** The groups it was estimated in, its own first. */
  levels: readonly string[]
  /** What the estimate rests on: as `evidence` of the fit says. */
  evidence: { level: string | null; arrivals: number; consignments: number; borrowedShare: number }
  /** The first step that it can still arrive at, by the last word; 0 for a stage that has not begun. */
  notBeforeStep: number
}

/** A chance for one local day of whoever reports the stop: the laboratory, or the plant for a stop before transit. */
export interface DayChance {
  /** Day number. */
  day: number
  chance: number
}

/** What can be said of when a running clock will stop. Chances are 0 to 1. */
export interface Forecast {
  /** The name of the hold limit. */
  limit: string
  /** The chance that the clock stops after its due, or never. */
  risk: number
  /** A 90 % credible interval of the risk, from what the record does not know of the hazards. */
  low: number
  high: number
  /** The chance that it never stops. */
  never: number
  /** The days on which it may stop, in order; their chances and `never` sum to 1. */
  days: readonly DayChance[]
  /** The local days by which it has stopped with a chance of 10, 50 and 90 %; null where never exceeds what is left. */
  p10: number | null
  p50: number | null
  p90: number | null
  stages: readonly ForecastStage[]
  /** No receiving hours are left before the due: only an opening out of hours could save it. */
  needsOpening: boolean
}
