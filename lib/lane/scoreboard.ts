import type { TriedForecast } from './backtest'
import { PLAIN_RULES, type PlainRule } from './plainRules'
import { type ReliabilityBin, reliability } from './reliability'
import { brierScore, type Comparison, compare, type Mean } from './score'

/** One lane: a plant to a laboratory by a service (null: not known). */
export interface Lane {
  plant: string
  laboratory: string
  service: string | null
}

/** How good forecasts of the past were. At any one moment each consignment weighs the same. */
export interface Score {
  forecasts: number
  consignments: number
  /** Weeks of dispatch on a lane: what errors are taken to be independent between. */
  clusters: number
  /** Share of forecasts that were of something late. */
  late: number
  brier: Mean
  rules: ({ rule: PlainRule } & Comparison)[]
  bins: ReliabilityBin[]
}

export interface Scoreboard {
  /** Null where there is nothing to score. */
  overall: Score | null
  /** Of the first forecast of each only, made once its dispatch was known: here each consignment counts once in all. */
  atDispatch: Score | null
  /** By plant, laboratory and service. */
  lanes: { lane: Lane; score: Score }[]
}

/** The scores of a backtest, over all and per lane. */
export function scoreboardOf(forecasts: readonly TriedForecast[]): Scoreboard {
  const lanes = new Map<string, { lane: Lane; tried: TriedForecast[] }>()
  for (const forecast of forecasts) {
    const { plant, laboratory, service } = forecast.journey
    const key = JSON.stringify([plant, laboratory, service])
    const found = lanes.get(key) ?? { lane: { plant, laboratory, service }, tried: [] }
    found.tried.push(forecast)
    lanes.set(key, found)
  }
  return {
    overall: scoreIfAny(forecasts),
    atDispatch: scoreIfAny(forecasts.filter(({ openDays }) => openDays === 0)),
    lanes: [...lanes]
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([, { lane, tried }]) => ({ lane, score: scoreOf(tried) })),
  }
}

const scoreIfAny = (forecasts: readonly TriedForecast[]) =>
  forecasts.length === 0 ? null : scoreOf(forecasts)

/** The score of some forecasts, of which there is at least one. */
export function scoreOf(forecasts: readonly TriedForecast[]): Score {
  const said = forecasts.map(({ risk, ...one }) => ({ ...one, chance: risk }))
  let [weights, late] = [0, 0]
  for (const { weight, isLate } of said) {
    weights += weight
    if (isLate) late += weight
  }
  return {
    forecasts: said.length,
    consignments: new Set(said.map(({ consignment }) => consignment)).size,
    clusters: new Set(said.map(({ cluster }) => cluster)).size,
    late: late / weights,
    brier: brierScore(said),
    rules: PLAIN_RULES.map((rule) => ({
      rule,
      ...compare(
        said,
        forecasts.map(({ plain }) => plain[rule]),
      ),
    })),
    bins: reliability(said),
  }
}

/** The plain rule that came nearest to what happened. */
export function bestRule({ rules }: Score): Score['rules'][number] {
  return rules.reduce((best, rule) => (rule.score.mean < best.score.mean ? rule : best))
}
