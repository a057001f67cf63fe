import type { LaneId } from '../model/stage'
import type { TriedForecast } from './backtest'
import { PLAIN_RULES, type PlainRule } from './plainRules'
import { computeReliability, type ReliabilityBin } from './reliability'
import { brierScore, type Comparison, compare, type Mean } from './score'

/** The accuracy of past forecasts. At any one moment each consignment has the same weight. */
export interface Score {
  forecasts: number
  consignments: number
  /** Weeks of dispatch on a lane; errors are taken as independent between them. */
  clusters: number
  /** Share of forecasts whose sample was late. */
  late: number
  brier: Mean
  rules: ({ rule: PlainRule } & Comparison)[]
  bins: ReliabilityBin[]
}

export interface Scoreboard {
  /** Null if there is nothing to score. */
  overall: Score | null
  /** The first forecast of each only, made once its dispatch was known: each consignment counts once in all. */
  atDispatch: Score | null
  /** By plant, laboratory and service. */
  lanes: { lane: LaneId; score: Score }[]
}

export function computeScoreboard(forecasts: readonly TriedForecast[]): Scoreboard {
  return runToEnd(scoreInSteps(forecasts))
}

/** Yields between pieces of work, so that the caller can pause. */
export function* scoreInSteps(forecasts: readonly TriedForecast[]): Generator<void, Scoreboard, void> {
  const byLane = new Map<string, { lane: LaneId; tried: TriedForecast[] }>()
  for (const forecast of forecasts) {
    const { plant, laboratory, service } = forecast.journey
    const key = JSON.stringify([plant, laboratory, service])
    const found = byLane.get(key) ?? { lane: { plant, laboratory, service }, tried: [] }
    found.tried.push(forecast)
    byLane.set(key, found)
  }
  const lanes: Scoreboard['lanes'] = []
  for (const [, { lane, tried }] of [...byLane].sort(([a], [b]) => (a < b ? -1 : 1)))
    lanes.push({ lane, score: yield* scoreForecasts(tried) })
  const first = forecasts.filter(({ openDays }) => openDays === 0)
  return {
    overall: forecasts.length === 0 ? null : yield* scoreForecasts(forecasts),
    atDispatch: first.length === 0 ? null : yield* scoreForecasts(first),
    lanes,
  }
}

/** Needs at least one forecast. */
export function computeScore(forecasts: readonly TriedForecast[]): Score {
  return runToEnd(scoreForecasts(forecasts))
}

function* scoreForecasts(forecasts: readonly TriedForecast[]): Generator<void, Score, void> {
  const predictions = forecasts.map(({ risk, isLate, consignment, weight, cluster }) => ({
    chance: risk,
    isLate,
    consignment,
    weight,
    cluster,
  }))
  yield
  const brier = brierScore(predictions)
  let [weights, late] = [0, 0]
  for (const { weight, isLate } of predictions) {
    weights += weight
    if (isLate) late += weight
  }
  const rules: Score['rules'] = []
  for (const rule of PLAIN_RULES) {
    yield
    const other = forecasts.map(({ plain }) => plain[rule])
    rules.push({ rule, ...compare(predictions, other) })
  }
  yield
  return {
    forecasts: predictions.length,
    consignments: new Set(predictions.map(({ consignment }) => consignment)).size,
    clusters: new Set(predictions.map(({ cluster }) => cluster)).size,
    late: late / weights,
    brier,
    rules,
    bins: computeReliability(predictions),
  }
}

function runToEnd<T>(work: Generator<void, T, void>): T {
  for (;;) {
    const step = work.next()
    if (step.done) return step.value
  }
}

/** The plain rule with the lowest score. */
export function findBestRule({ rules }: Score): Score['rules'][number] {
  return rules.reduce((best, rule) => (rule.score.mean < best.score.mean ? rule : best))
}
