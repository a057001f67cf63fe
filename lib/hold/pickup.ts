import { getMinuteOfDay, getWeekday, toLocalDay } from './zone'

/**
 * The minute of the local day of a service's pickup at a plant, for each weekday from 0 (Sunday) to 6; null on a weekday
 * without one.
 */
export type Pickups = readonly (number | null)[]

/** Whether a service calls on a local day of the plant. Unknown pickups (null) count as every day. */
export function isPickupDay(pickups: Pickups | null, day: number): boolean {
  return pickups === null || (pickups[getWeekday(day)] ?? null) !== null
}

/** The first day after `day` with a pickup; `day` itself if no weekday has one. */
export function findNextPickupDay(pickups: Pickups, day: number): number {
  for (let next = day + 1; next <= day + 7; next += 1) if (isPickupDay(pickups, next)) return next
  return day
}

/**
 * The local day in the plant's `zone` on which a sample leaves that was handed over at `at` (ms UTC). After the day's pickup
 * it leaves with the next one. While pickups are unknown (null) it leaves on the same day.
 */
export function findDepartureDay(pickups: Pickups | null, at: number, zone: string): number {
  const day = toLocalDay(at, zone)
  if (pickups === null) return day
  const pickup = pickups[getWeekday(day)] ?? null
  return pickup !== null && getMinuteOfDay(at, zone) <= pickup ? day : findNextPickupDay(pickups, day)
}
