import type { LaneId } from '../model/stage'
import type { TriedForecast } from './backtest'
import { PLAIN_RULES, type PlainRule } from './plainRules'
import { computeReliability, type ReliabilityBin } from './reliability'
import { brierScore, type Comparison, compare, type Mean } from './score'

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
  lanes: { lane: LaneId; score: Score }[]
}

/** The scores of a backtest, over all and per lane. */
export function computeScoreboard(forecasts: readonly TriedForecast[]): Scoreboard {
  return runToEnd(scoreInSteps(forecasts))
}

/** The same, piece by piece: it yields between them, so that whoever runs it can pause. */
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

/** The score of some forecasts, of which there is at least one. */
export function computeScore(forecasts: readonly TriedForecast[]): Score {
  return runToEnd(scoreForecasts(forecasts))
}

function* scoreForecasts(forecasts: readonly TriedForecast[]): Generator<void, Score, void> {
  const said = forecasts.map(({ risk, isLate, consignment, weight, cluster }) => ({
    chance: risk,
    isLate,
    consignment,
    weight,
    cluster,
  }))
  yield
  const brier = brierScore(said)
  let [weights, late] = [0, 0]
  for (const { weight, isLate } of said) {
    weights += weight
    if (isLate) late += weight
  }
  const rules: Score['rules'] = []
  for (const rule of PLAIN_RULES) {
    yield
    const other = forecasts.map(({ plain }) => plain[rule])
    rules.push({ rule, ...compare(said, other) })
  }
  yield
  return {
    forecasts: said.length,
    consignments: new Set(said.map(({ consignment }) => consignment)).size,
    clusters: new Set(said.map(({ cluster }) => cluster)).size,
    late: late / weights,
    brier,
    rules,
    bins: computeReliability(said),
  }
}

function runToEnd<T>(work: Generator<void, T, void>): T {
  for (;;) {
    const step = work.next()
    if (step.done) return step.value
  }
}

/** The plain rule that came nearest to what happened. */
export function findBestRule({ rules }: Score): Score['rules'][number] {
  return rules.reduce((best, rule) => (rule.score.mean < best.score.mean ? rule : best))
}
