import type { Clock } from '@/lib/hold/clock'
import type { Limit } from '@/lib/hold/limit'
import { DAY } from '@/lib/hold/zone'
import type { Journey, Known } from '../model/journey'
import type { Places } from '../model/places'
import { limitKey, type PlainRule, PlainRules } from './plainRules'
import { createTrial, type Moment, type Subject, type Trial, type Untried } from './trial'

/** The chance that a clock stops after its due or never, with its 90 % credible interval. */
export interface Risk {
  risk: number
  low: number
  high: number
}

/** Forecasts a running clock at `at` (ms UTC) from what was known then; null if there was no data. */
export type Forecaster = (clock: Clock, journey: Journey, known: Known, at: number) => Risk | null

/** One past forecast and its outcome. Instants in ms UTC. */
export interface TriedForecast extends Risk {
  journey: Journey
  limit: Limit
  at: number
  /** What was known of the sample at that time. */
  known: Known
  openDays: number
  dispatchedAt: number
  dueAt: number
  isLate: boolean
  plain: Record<PlainRule, number>
  /** The consignment it travelled with, or the sample alone. */
  consignment: string
  /**
   * One divided by the samples and limits of the consignment, so that a consignment counts once at each moment.
   */
  weight: number
  /** Lane and week of dispatch. */
  cluster: string
}

export interface Backtest {
  forecasts: TriedForecast[]
  /** Forecasts without data to forecast from; the plain rules are not scored there either. */
  withoutHistory: number
  /** Limits on samples that cannot be tested, by reason. */
  untried: Map<Untried, number>
}

export interface BacktestOptions {
  /** Days between fits; the plain rules learn at each due that passes. */
  refitDays?: number
  /** Only forecasts from this time on are made, ms UTC; earlier facts are learned from. */
  since?: number
}

/**
 * Makes every past forecast of a programme again from what was known then, and compares it with what was known
 * at `now` (ms UTC). `fitted(at)` creates a forecaster from what was known at `at`; it is called at the start
 * of each span of `refitDays` (default 7) counted from Monday 1970-01-05 UTC, so a forecast is up to that much
 * staler than it would be on the day. Today's calendars are used throughout. Yields between pieces of work, so
 * that the caller can pause.
 *
 * A consignment counts once at each moment, not once over all of them: early arrivals have fewer moments, so
 * dividing by their number would weigh forecasts by their outcome, and even the true chance would look too
 * high.
 */
export function* backtest(
  subjects: readonly Subject[],
  places: Places,
  now: number,
  fitted: (knownAt: number) => Forecaster,
  { refitDays = 7, since = Number.NEGATIVE_INFINITY }: BacktestOptions = {},
): Generator<void, Backtest, void> {
  const { trials, untried } = yield* collectTrials(subjects, places, now)
  const [shares, parts] = [
    computeShares(trials, getConsignmentLimitKey),
    computeShares(trials, ({ journey }) => nameConsignment(journey)),
  ]
  const rules = new PlainRules()
  const byDue = [...trials].sort((a, b) => a.dueAt - b.dueAt)
  const asked = trials
    .flatMap((trial) => trial.moments.map((moment) => ({ trial, moment })))
    .filter(({ moment }) => moment.at >= since)
    .sort((a, b) => a.moment.at - b.moment.at)
  const forecasts: TriedForecast[] = []
  let [settled, withoutHistory, fittedAt] = [0, 0, Number.NaN]
  let forecaster: Forecaster = () => null
  for (const [index, { trial, moment }] of asked.entries()) {
    for (; settled < byDue.length && (byDue[settled] as Trial).dueAt < moment.at; settled += 1) {
      const passed = byDue[settled] as Trial
      rules.learn(passed, shares.get(passed) as number)
    }
    const spanStart = findSpanStart(moment.at, refitDays)
    if (spanStart !== fittedAt) {
      forecaster = fitted(spanStart)
      fittedAt = spanStart
      yield
    }
    const risk = forecaster(moment.clock, trial.journey, moment.known, moment.at)
    if (risk === null) withoutHistory += 1
    else {
      const weight = parts.get(trial) as number
      forecasts.push(toTriedForecast(trial, moment, risk, rules.chances(trial, moment), weight))
    }
    if (index % 50 === 49) yield
  }
  return { forecasts, withoutHistory, untried }
}

export function backtestSync(...args: Parameters<typeof backtest>): Backtest {
  const running = backtest(...args)
  for (;;) {
    const step = running.next()
    if (step.done) return step.value
  }
}

function* collectTrials(subjects: readonly Subject[], places: Places, now: number) {
  const trials: Trial[] = []
  const untried = new Map<Untried, number>()
  for (const [index, { journey, limits }] of subjects.entries()) {
    for (const limit of limits) {
      const trial = createTrial(journey, limit, places, now)
      if (typeof trial === 'string') untried.set(trial, (untried.get(trial) ?? 0) + 1)
      else trials.push(trial)
    }
    if (index % 100 === 99) yield
  }
  return { trials, untried }
}

/** Spans of days are counted from Monday 1970-01-05. */
const EPOCH_MONDAY = 4 * DAY

function findSpanStart(at: number, days: number): number {
  return EPOCH_MONDAY + Math.floor((at - EPOCH_MONDAY) / (days * DAY)) * days * DAY
}

/** 1 divided by the number of trials with the same key. */
function computeShares(trials: readonly Trial[], getKey: (trial: Trial) => string): Map<Trial, number> {
  const counts = new Map<string, number>()
  for (const trial of trials) counts.set(getKey(trial), (counts.get(getKey(trial)) ?? 0) + 1)
  return new Map(trials.map((trial) => [trial, 1 / (counts.get(getKey(trial)) as number)]))
}

const getConsignmentLimitKey = ({ journey, limit }: Trial) =>
  JSON.stringify([nameConsignment(journey), limitKey(limit)])

function toTriedForecast(
  { journey, limit, dispatchedAt, dueAt, isLate }: Trial,
  { at, known, openDays }: Moment,
  { risk, low, high }: Risk,
  plain: Record<PlainRule, number>,
  weight: number,
): TriedForecast {
  const { plant, laboratory, service } = journey
  const cluster = JSON.stringify([plant, laboratory, service, findSpanStart(dispatchedAt, 7)])
  const consignment = nameConsignment(journey)
  return {
    journey,
    limit,
    at,
    known,
    openDays,
    dispatchedAt,
    dueAt,
    isLate,
    risk,
    low,
    high,
    plain,
    consignment,
    weight,
    cluster,
  }
}

/** A sample without a waybill travelled alone. */
function nameConsignment({ code, consignment }: Journey): string {
  return consignment === null ? `sample ${code}` : `consignment ${consignment}`
}
