import { DAY } from '@/lib/hold/zone'
import { backtestAtOnce, type Forecaster, type TriedForecast } from '@/lib/lane/backtest/backtest'
import { type Approach, approachOf } from '@/lib/lane/forecast/approach'
import { forecastOf } from '@/lib/lane/forecast/forecast'
import { recordOf } from '@/lib/lane/model/record'
import { simulatedProgramme, THICK } from './programme'
import { trueChance, trueChanceByWord } from './truth'

/** A forecast of a simulated programme beside the truth. */
export interface Tried extends TriedForecast {
  /** The true chance, given all that was reported, and all that was not. */
  truth: number
  /** The true chance given that nothing had happened by the desk's last word, which is what a forecast goes by. */
  truthByWord: number
  /** Of a lane with about 200 arrivals or more before. */
  isThick: boolean
}

/** The last weeks of a programme, in which its lanes have most of their past, and how often its record is fitted then. */
const TRIED_DAYS = 75
const REFIT_DAYS = 14

/** Every forecast of the last weeks of the programme of a seed, with what was known then. */
export function triedForecasts(seed: number): Tried[] {
  const { subjects, places, now, laneOf } = simulatedProgramme(seed)
  const journeys = subjects.map(({ journey }) => journey)
  const consignments = new Map<object, Set<string | null>>()
  for (const journey of journeys) {
    const known = consignments.get(laneOf(journey)) ?? new Set()
    consignments.set(laneOf(journey), known.add(journey.consignment))
  }
  const words: number[] = []
  const fitted = (knownAt: number): Forecaster => {
    const record = recordOf(journeys, places, knownAt)
    return (clock, journey, _, at) => {
      const forecast = forecastOf(clock, journey, record, at)
      if (forecast) words.push((approachOf(clock, journey, record, at) as Approach).wordAt(at))
      return forecast
    }
  }
  const options = { since: now - TRIED_DAYS * DAY, refitDays: REFIT_DAYS }
  const { forecasts } = backtestAtOnce(subjects, places, now, fitted, options)
  return forecasts.map((forecast, index) => {
    const lane = laneOf(forecast.journey)
    const { limit, dueAt } = forecast
    return {
      ...forecast,
      truth: trueChance(lane, limit, dueAt, forecast),
      truthByWord: trueChanceByWord(lane, limit, dueAt, forecast, words[index] as number),
      isThick: (consignments.get(lane)?.size ?? 0) >= THICK,
    }
  })
}
