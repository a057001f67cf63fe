import { WEEKDAYS } from '@/lib/custody/registerDocument'
import { LANES, SERVICES } from './lanes'
import { type DemoPlant, PLANTS } from './plants'
import type { PickupEntry } from './registerDocument'

/** How much later than the day's first carrier each service calls, in minutes. */
const CALL_DELAY_MINUTES: Readonly<Record<string, number>> = { road: 0, ground: 10, air: 35, courier: 50 }

/** A carrier calls up to so many minutes before or after its usual time. */
export const EARLY_MINUTES = 20
export const LATE_MINUTES = 25

/** The usual time at which a service calls at a plant, in minutes since local midnight. */
export function getCallMinutes(plant: DemoPlant, service: string): number {
  return plant.pickupMinutes + (CALL_DELAY_MINUTES[service] ?? 0)
}

/** The pickups of the register: the time by which shipments must be ready, on the plant's workdays. */
export function makePickupEntries(): PickupEntry[] {
  return PLANTS.flatMap((plant) =>
    SERVICES.filter(({ code }) =>
      LANES.some((lane) => lane.plant === plant.code && lane.service === code),
    ).map(({ code: service }) => {
      const latest = Math.ceil((getCallMinutes(plant, service) + LATE_MINUTES) / 15) * 15
      const days = plant.workdays.map((weekday) => [WEEKDAYS[weekday], formatClock(latest)])
      return { plant: plant.code, service, hours: Object.fromEntries(days) }
    }),
  )
}

function formatClock(minutes: number): string {
  const two = (value: number) => String(value).padStart(2, '0')
  return `${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`
}
