import { computeForecast } from '../forecast/forecast'
import type { Journey } from '../model/journey'
import type { Places } from '../model/places'
import { buildTransitModel, type TransitModelOptions } from '../model/transitModel'
import type { Forecaster } from './backtest'

/** Creates forecasters from a model of the journeys as known at a time. */
export function createPastForecaster(
  journeys: readonly Journey[],
  places: Places,
  options: TransitModelOptions = {},
): (knownAt: number) => Forecaster {
  return (knownAt) => {
    const model = buildTransitModel(journeys, places, knownAt, options)
    return (clock, journey, _, at) => computeForecast(clock, journey, model, at)
  }
}
