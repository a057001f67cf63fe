import { localDay, weekdayOf } from '@/lib/hold/zone'
import type { Places } from './places'
import type { PlaceDays } from './reporter'
import { type Stage, stageKind, type Way } from './stage'
import { minuteOf } from './timeOfDay'

/**
 * The local day from which the steps of a stage that began at `at` (ms UTC) are counted. What leaves a plant counts
 * from the plant's local date, what began at a laboratory from that of the laboratory. Handed over after the service's
 * pickup hour, or on a day without a pickup, it counts from the next pickup day.
 */
export function startDayOf(stage: Stage, way: Way, at: number, placeDays: PlaceDays): number {
  if (stageKind(stage) === 'laboratory')
    return localDay(at, placeDays.of(stage.to, way.laboratory).calendar.zone)
  const zone = placeDays.places.plantZone(way.plant)
  const day = localDay(at, zone)
  if (stage.from !== 'dispatched') return day
  const pickups = placeDays.places.pickups(way.plant, way.service)
  if (pickups === null) return day
  const pickup = pickups[weekdayOf(day)] ?? null
  return pickup !== null && minuteOf(at, zone) <= pickup ? day : nextPickupDay(pickups, day)
}

/** The first day after `day` with a pickup; `day` itself where no weekday has one. */
export function nextPickupDay(pickups: NonNullable<ReturnType<Places['pickups']>>, day: number): number {
  for (let next = day + 1; next <= day + 7; next += 1)
    if ((pickups[weekdayOf(next)] ?? null) !== null) return next
  return day
}
