import type pg from 'pg'
import { getMaker, MIN_MAKERS } from '@/lib/custody/pooling'
import { DAY, HOUR } from '@/lib/hold/zone'
import type { TriedForecast } from '@/lib/lane/backtest/backtest'
import type { Score, Scoreboard } from '@/lib/lane/backtest/scoreboard'
import type { Untried } from '@/lib/lane/backtest/trial'
import type { LaneId } from '@/lib/lane/model/stage'
import { getLog } from '@/lib/telemetry/log'
import { withReadTransaction } from '../../projection/readTransaction'
import { type BacktestRun, readLedgerPosition, runBacktest, SCORED_DAYS } from './backtestRun'

/** The accuracy of past forecasts. Instants in ms UTC. */
export interface BacktestPage {
  asOf: number
  isDemo: boolean
  /** Forecasts since then are scored. */
  since: number
  /** Null while they are computed for the first time. */
  scores: BacktestScores | null
}

export interface BacktestScores {
  /** As of when they were computed. */
  computedAt: number
  overall: Score | null
  atDispatch: Score | null
  /** Empty for a reader who may not know single plants. */
  lanes: {
    lane: LaneId & { plantName: string; laboratoryName: string; serviceName: string | null }
    score: Score
  }[]
  /** There are scores, but fewer than three makers stand behind them. */
  isWithheld: boolean
  /** Limits on samples without an outcome, by reason, and forecasts without data to forecast from. */
  untried: { why: Untried; count: number }[]
  withoutHistory: number
}

/** Minimum time between runs while the ledgers grow, and maximum age while they do not. */
const MIN_RERUN_INTERVAL = HOUR
const MAX_AGE = DAY
/** The first visitor waits this long for a short run before the page says that it is being computed, ms. */
const SCORING_TIMEOUT_MS = 1500

interface CachedBacktest {
  run: BacktestRun | null
  running: Promise<void> | null
}

/** One per process; on `globalThis` because Next loads a module more than once. */
const shared = globalThis as typeof globalThis & { holdfastBacktests?: WeakMap<pg.Pool, CachedBacktest> }

function getCachedBacktest(pool: pg.Pool): CachedBacktest {
  shared.holdfastBacktests ??= new WeakMap()
  const cached = shared.holdfastBacktests.get(pool) ?? { run: null, running: null }
  shared.holdfastBacktests.set(pool, cached)
  return cached
}

/**
 * The scores at `now` (ms UTC): by lane or, if `isPooled`, only over all plants. Stale scores are served while
 * a run in the background replaces them. A failed run is thrown at whoever waits for it, and logged.
 */
export async function readBacktestPage(pool: pg.Pool, isPooled: boolean, now: number): Promise<BacktestPage> {
  const cached = getCachedBacktest(pool)
  if (await needsRerun(pool, cached, now)) startBacktest(pool, cached, now)
  if (cached.running && !cached.run) await Promise.race([cached.running, sleep(SCORING_TIMEOUT_MS)])
  return withReadTransaction(pool, 'all', now, async ({ register, isDemo }) => {
    const { run } = cached
    const page = { asOf: now, isDemo, since: (run?.asOf ?? now) - SCORED_DAYS * DAY }
    if (!run) return { ...page, scores: null }
    const maker = (plant: string) => getMaker(register.plants.get(plant))
    const scores = {
      computedAt: run.asOf,
      untried: isPooled ? [] : [...run.result.untried].map(([why, count]) => ({ why, count })),
      withoutHistory: isPooled ? 0 : run.result.withoutHistory,
    }
    if (isPooled)
      return {
        ...page,
        scores: { ...scores, ...computePooledScores(run.result.forecasts, run.board, maker) },
      }
    const lanes = run.board.lanes.map(({ lane, score }) => ({
      lane: {
        ...lane,
        plantName: register.plants.get(lane.plant)?.name ?? lane.plant,
        laboratoryName: register.laboratories.get(lane.laboratory)?.name ?? lane.laboratory,
        serviceName: lane.service && (register.services.get(lane.service)?.name ?? lane.service),
      },
      score,
    }))
    const { overall, atDispatch } = run.board
    return { ...page, scores: { ...scores, overall, atDispatch, lanes, isWithheld: false } }
  })
}

async function needsRerun(pool: pg.Pool, { run, running }: CachedBacktest, now: number): Promise<boolean> {
  if (running) return false
  if (!run || now - run.asOf > MAX_AGE) return true
  return now - run.asOf > MIN_RERUN_INTERVAL && run.position !== (await readLedgerPosition(pool, now))
}

function startBacktest(pool: pg.Pool, cached: CachedBacktest, now: number): void {
  if (cached.running) return
  const work = async () => {
    cached.run = await runBacktest(pool, await readLedgerPosition(pool, now), now)
  }
  cached.running = work().finally(() => {
    cached.running = null
  })
  // The next visitor starts it again.
  cached.running.catch((error: Error) =>
    getLog().error({ stack: error.stack }, `Past forecasts could not be scored: ${error.message}`),
  )
}

function sleep(milliseconds: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, milliseconds))
}

/** Withholds every score and bin that fewer than three makers stand behind. */
export function computePooledScores(
  forecasts: readonly TriedForecast[],
  { overall, atDispatch }: Scoreboard,
  maker: (plant: string) => string,
): Pick<BacktestScores, 'overall' | 'atDispatch' | 'lanes' | 'isWithheld'> {
  const isShown = (some: readonly TriedForecast[]) =>
    new Set(some.map(({ journey }) => maker(journey.plant))).size >= MIN_MAKERS
  const withhold = (score: Score | null, some: readonly TriedForecast[]): Score | null => {
    if (score === null || !isShown(some)) return null
    const findInBin = (from: number, to: number) =>
      some.filter(({ risk }) => risk >= from && (risk < to || to === 1))
    return { ...score, bins: score.bins.filter(({ from, to }) => isShown(findInBin(from, to))) }
  }
  const atFirst = forecasts.filter(({ openDays }) => openDays === 0)
  const shownOverall = withhold(overall, forecasts)
  return {
    overall: shownOverall,
    atDispatch: withhold(atDispatch, atFirst),
    lanes: [],
    isWithheld: overall !== null && shownOverall === null,
  }
}
