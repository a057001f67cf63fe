import { departureDay } from '@/lib/hold/pickup'
import { localDay } from '@/lib/hold/zone'
import type { PlaceDays } from './reporter'
import { type Stage, stageKind, type Way } from './stage'

/**
 * The local day from which the steps of a stage that began at `at` (ms UTC) are counted. What leaves a plant counts
 * from the plant's local date, what began at a laboratory from that of the laboratory. Handed over after the service's
 * pickup hour, or on a day without a pickup, it counts from the next pickup day.
 */
export function startDayOf(stage: Stage, way: Way, at: number, placeDays: PlaceDays): number {
  if (stageKind(stage) === 'laboratory')
    return localDay(at, placeDays.of(stage.to, way.laboratory).calendar.zone)
  const zone = placeDays.places.plantZone(way.plant)
  if (stage.from !== 'dispatched') return localDay(at, zone)
  return departureDay(placeDays.places.pickups(way.plant, way.service), at, zone)
}
