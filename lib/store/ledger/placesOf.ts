import { minuteOfHour, pickupsOf } from '@/lib/custody/pickupsOf'
import type { Register } from '@/lib/custody/register'
import { pickupCode, WEEKDAYS } from '@/lib/custody/registerDocument'
import type { Pickups } from '@/lib/hold/pickup'
import type { OpenMinutes, Places } from '@/lib/lane/model/places'

const known = new WeakMap<Register, Places>()

/**
 * What a forecast has to know of the places in a register, as it stands. Errors: RangeError where it is asked for a
 * plant or a laboratory that the register does not have.
 */
export function placesOf(register: Register): Places {
  const before = known.get(register)
  if (before) return before
  const hours = new Map<string, readonly OpenMinutes[]>()
  const pickups = new Map<string, Pickups | null>()
  const places: Places = {
    plantZone(plant) {
      const entry = register.plants.get(plant)
      if (!entry) throw new RangeError(`No plant has the code "${plant}"`)
      return entry.zone
    },
    calendar: (laboratory) => register.calendarOf(laboratory),
    workdays: (plant) => register.workdaysOf(plant),
    hours: (laboratory) => kept(hours, laboratory, () => hoursOf(register, laboratory)),
    pickups: (plant, service) =>
      service === null
        ? null
        : kept(pickups, pickupCode(plant, service), () => pickupsOf(register, plant, service)),
  }
  known.set(register, places)
  return places
}

function kept<T>(found: Map<string, T>, key: string, make: () => T): T {
  let value = found.get(key)
  if (value === undefined) {
    value = make()
    found.set(key, value)
  }
  return value
}

function hoursOf(register: Register, laboratory: string): readonly OpenMinutes[] {
  const entry = register.laboratories.get(laboratory)
  if (!entry) throw new RangeError(`No laboratory has the code "${laboratory}"`)
  return WEEKDAYS.map((day) =>
    (entry.receiving[day] ?? [])
      .map((span) => [minuteOfHour(span.slice(0, 5)), minuteOfHour(span.slice(6))] as const)
      .sort(([a], [b]) => a - b),
  )
}
