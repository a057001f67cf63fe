import { findPickups } from '@/lib/custody/findPickups'
import type { Register } from '@/lib/custody/register'
import { pickupCode } from '@/lib/custody/registerDocument'
import type { Pickups } from '@/lib/hold/pickup'
import type { Places } from '@/lib/lane/model/places'

const known = new WeakMap<Register, Places>()

/** What a forecast needs of the places in a register. Errors: RangeError for an unknown plant or laboratory. */
export function getLanePlaces(register: Register): Places {
  const before = known.get(register)
  if (before) return before
  const pickups = new Map<string, Pickups | null>()
  const places: Places = {
    plantZone(plant) {
      const entry = register.plants.get(plant)
      if (!entry) throw new RangeError(`No plant has the code "${plant}"`)
      return entry.zone
    },
    calendar: (laboratory) => register.getCalendar(laboratory),
    workdays: (plant) => register.getWorkdays(plant),
    hours: (laboratory) => register.getOpenMinutes(laboratory),
    pickups: (plant, service) =>
      service === null
        ? null
        : getOrCreate(pickups, pickupCode(plant, service), () => findPickups(register, plant, service)),
  }
  known.set(register, places)
  return places
}

function getOrCreate<T>(found: Map<string, T>, key: string, make: () => T): T {
  let value = found.get(key)
  if (value === undefined) {
    value = make()
    found.set(key, value)
  }
  return value
}
