import { findDepartureDay } from '@/lib/hold/pickup'
import { toLocalDay } from '@/lib/hold/zone'
import type { PlaceDays } from './reporter'
import { type LaneId, type Stage, stageKind } from './stage'

/**
 * The local day from which the steps of a stage that began at `at` (ms UTC) are counted: the laboratory's date
 * for a laboratory stage, else the plant's. A sample handed over after the service's pickup hour, or on a day
 * without a pickup, counts from the next pickup day.
 */
export function findStartDay(stage: Stage, lane: LaneId, at: number, placeDays: PlaceDays): number {
  if (stageKind(stage) === 'laboratory')
    return toLocalDay(at, placeDays.getDays(stage.to, lane.laboratory).calendar.zone)
  const zone = placeDays.places.plantZone(lane.plant)
  if (stage.from !== 'dispatched') return toLocalDay(at, zone)
  return findDepartureDay(placeDays.places.pickups(lane.plant, lane.service), at, zone)
}
