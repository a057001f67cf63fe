import { getMinuteOfDay, getWeekday, toLocalDay } from './zone'

/**
 * The minute of the local day at which a service calls at a plant, by weekday from 0 (Sunday) on, seven of them; null on
 * a weekday without a pickup.
 */
export type Pickups = readonly (number | null)[]

/** Whether a service calls on a local day of the plant; on every day where nothing is known of its pickups (null). */
export function isPickupDay(pickups: Pickups | null, day: number): boolean {
  return pickups === null || (pickups[getWeekday(day)] ?? null) !== null
}

/** The first day after `day` with a pickup; `day` itself where no weekday has one. */
export function findNextPickupDay(pickups: Pickups, day: number): number {
  for (let next = day + 1; next <= day + 7; next += 1) if (isPickupDay(pickups, next)) return next
  return day
}

/**
 * The local day of a plant in `zone` on which what was handed over at `at` (ms UTC) leaves it: after the pickup, or on a
 * day without one, with the next. The day itself where no pickups are known (null).
 */
export function findDepartureDay(pickups: Pickups | null, at: number, zone: string): number {
  const day = toLocalDay(at, zone)
  if (pickups === null) return day
  const pickup = pickups[getWeekday(day)] ?? null
  return pickup !== null && getMinuteOfDay(at, zone) <= pickup ? day : findNextPickupDay(pickups, day)
}
