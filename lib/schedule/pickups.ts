import type { Register } from '@/lib/custody/register'
import { pickupCode, WEEKDAYS, type Weekday } from '@/lib/custody/registerDocument'
import { localDay, MINUTE, offsetAt, weekdayOf } from '@/lib/hold/zone'

/** The hour at which a service calls at a plant on a local day of it, as 16:30; null where it does not; undefined where nothing is known of its pickups. */
function hourOn(
  register: Register,
  plant: string,
  service: string | null,
  day: number,
): string | null | undefined {
  const entry = service === null ? undefined : register.pickups.get(pickupCode(plant, service))
  return entry === undefined ? undefined : (entry.hours[WEEKDAYS[weekdayOf(day)] as Weekday] ?? null)
}

/** Whether a service calls at a plant on a local day of it; every day where nothing is known of its pickups. */
export function isPickupDay(register: Register, plant: string, service: string | null, day: number): boolean {
  return hourOn(register, plant, service, day) !== null
}

/**
 * The local day of the plant on which what was handed over at `at` (ms UTC) leaves it: after the service's hour, or on
 * a day without a pickup, with the next one.
 */
export function departureDay(register: Register, plant: string, service: string | null, at: number): number {
  const zone = register.zoneOfPlace(plant) as string
  const day = localDay(at, zone)
  const hour = hourOn(register, plant, service, day)
  if (hour === undefined) return day
  if (hour !== null) {
    const minute = Math.floor(((((at + offsetAt(at, zone)) / MINUTE) % 1440) + 1440) % 1440)
    if (minute <= Number(hour.slice(0, 2)) * 60 + Number(hour.slice(3))) return day
  }
  for (let next = day + 1; next <= day + 7; next += 1)
    if (isPickupDay(register, plant, service, next)) return next
  return day
}
