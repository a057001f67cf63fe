import type { Observation } from './observation'
import { type LaneId, listGroupKeys, type Stage } from './stage'
import type { TransitModel } from './transitModel'

/** The stage that a lane measures. */
export const TRANSIT: Stage = { from: 'dispatched', to: 'received' }

/** One plant to one laboratory by one carrier service, with its observations. */
export interface Lane extends LaneId {
  levels: readonly string[]
  observations: Observation[]
}

const lanesCache = new WeakMap<TransitModel, ReadonlyMap<string, Lane>>()

/** The lanes with shipments in a model, by `laneKey`. Cached for as long as the model. */
export function getLanes(model: TransitModel): ReadonlyMap<string, Lane> {
  const before = lanesCache.get(model)
  if (before) return before
  const lanes = new Map<string, Lane>()
  for (const observation of model.getStage(TRANSIT).observations) {
    const key = observation.levels[0] as string
    const lane = lanes.get(key)
    if (lane) {
      lane.observations.push(observation)
      continue
    }
    const [, plant, laboratory, service] = JSON.parse(key) as [string, string, string, string | null]
    lanes.set(key, {
      plant,
      laboratory,
      service,
      levels: observation.levels,
      observations: [observation],
    })
  }
  lanesCache.set(model, lanes)
  return lanes
}

export function laneKey(lane: LaneId): string {
  return listGroupKeys(TRANSIT, lane)[0] as string
}

/** Counts a lane's shipments (a consignment is one): all, under way, and never arrived or presumed lost. */
export function countShipments(observations: readonly Observation[]): {
  all: number
  underWay: number
  never: number
} {
  const counts = { all: 0, underWay: 0, never: 0 }
  for (const { steps, hasArrived, weight } of observations) {
    counts.all += weight
    if (hasArrived) continue
    if (steps === Number.POSITIVE_INFINITY) counts.never += weight
    else counts.underWay += weight
  }
  return counts
}
