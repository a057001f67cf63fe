import { DAY } from '@/lib/hold/zone'
import { backtestSync, type Forecaster, type TriedForecast } from '@/lib/lane/backtest/backtest'
import { computeForecast } from '@/lib/lane/forecast/forecast'
import { findRemainingPath, type RemainingPath } from '@/lib/lane/forecast/remainingPath'
import { buildTransitModel } from '@/lib/lane/model/transitModel'
import { BUSY_LANE_VOLUME, simulatedProgramme } from './programme'
import { trueChance, trueChanceByCutoff } from './truth'

/** A forecast of a simulated programme beside the truth. */
export interface Tried extends TriedForecast {
  /** The true chance, given all that was and was not reported. */
  truth: number
  /** The true chance given that nothing had happened by the observation cutoff, as a forecast assumes. */
  truthByCutoff: number
  /** The lane had about 200 arrivals or more before. */
  isBusyLane: boolean
}

/**
 * The last weeks of a programme, when its lanes have most of their past, and how often the model is fitted
 * then.
 */
const TRIED_DAYS = 75
const REFIT_DAYS = 14

/** Every forecast of the last weeks of a seed's programme, from what was known then. */
export function triedForecasts(seed: number): Tried[] {
  const { subjects, places, now, findLane } = simulatedProgramme(seed)
  const journeys = subjects.map(({ journey }) => journey)
  const consignments = new Map<object, Set<string | null>>()
  for (const journey of journeys) {
    const known = consignments.get(findLane(journey)) ?? new Set()
    consignments.set(findLane(journey), known.add(journey.consignment))
  }
  const words: number[] = []
  const fitted = (knownAt: number): Forecaster => {
    const model = buildTransitModel(journeys, places, knownAt)
    return (clock, journey, _, at) => {
      const forecast = computeForecast(clock, journey, model, at)
      if (forecast) words.push((findRemainingPath(clock, journey, model, at) as RemainingPath).cutoffAt(at))
      return forecast
    }
  }
  const options = { since: now - TRIED_DAYS * DAY, refitDays: REFIT_DAYS }
  const { forecasts } = backtestSync(subjects, places, now, fitted, options)
  return forecasts.map((forecast, index) => {
    const lane = findLane(forecast.journey)
    const { limit, dueAt } = forecast
    return {
      ...forecast,
      truth: trueChance(lane, limit, dueAt, forecast),
      truthByCutoff: trueChanceByCutoff(lane, limit, dueAt, forecast, words[index] as number),
      isBusyLane: (consignments.get(lane)?.size ?? 0) >= BUSY_LANE_VOLUME,
    }
  })
}
