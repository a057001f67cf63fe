import { parseMinuteOfDay } from '@/lib/hold/openHours'
import type { Pickups } from '@/lib/hold/pickup'
import type { Register } from './register'
import { pickupCode, WEEKDAYS } from './registerDocument'

/** When a service collects at a plant; null if the register does not say, or if no service is named. */
export function findPickups(register: Register, plant: string, service: string | null): Pickups | null {
  const entry = service === null ? undefined : register.pickups.get(pickupCode(plant, service))
  if (!entry) return null
  return WEEKDAYS.map((day) => (entry.hours[day] === undefined ? null : parseMinuteOfDay(entry.hours[day])))
}
