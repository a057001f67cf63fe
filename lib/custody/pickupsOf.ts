import type { Pickups } from '@/lib/hold/pickup'
import type { Register } from './register'
import { pickupCode, WEEKDAYS } from './registerDocument'

/** When a service calls at a plant, as the register has it; null where it says nothing of the two, or no service is named. */
export function pickupsOf(register: Register, plant: string, service: string | null): Pickups | null {
  const entry = service === null ? undefined : register.pickups.get(pickupCode(plant, service))
  if (!entry) return null
  return WEEKDAYS.map((day) => (entry.hours[day] === undefined ? null : minuteOfHour(entry.hours[day])))
}

/** The minute of the local day of "16:30". */
export function minuteOfHour(text: string): number {
  return Number(text.slice(0, 2)) * 60 + Number(text.slice(3, 5))
}
