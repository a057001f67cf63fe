import { forecastOf } from '../forecast/forecast'
import type { Journey } from '../model/journey'
import type { Places } from '../model/places'
import { type RecordOptions, recordOf } from '../model/record'
import type { Forecaster } from './backtest'

/** Makes forecasters of the record of some journeys as it was known at a time, for a backtest over them. */
export function pastForecaster(
  journeys: readonly Journey[],
  places: Places,
  options: RecordOptions = {},
): (knownAt: number) => Forecaster {
  return (knownAt) => {
    const record = recordOf(journeys, places, knownAt, options)
    return (clock, journey, _, at) => forecastOf(clock, journey, record, at)
  }
}
