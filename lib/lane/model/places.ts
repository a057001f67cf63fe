import type { Calendar } from '@/lib/hold/calendar'
import type { Pickups } from '@/lib/hold/pickup'

/** When a door is open on one day: from and to in minutes of the local day, in order, none overlapping. */
export type OpenMinutes = readonly (readonly [number, number])[]

/** What the forecast has to know of plants, laboratories and services. Weekdays are 0 (Sunday) to 6. */
export interface Places {
  /** The plant's IANA zone. */
  plantZone(plant: string): string
  /** The laboratory's zone and open days. */
  calendar(laboratory: string): Calendar
  /** The days on which a plant cuts and hands over, in its zone; Monday to Friday where this is absent. */
  workdays?(plant: string): Calendar
  /** The laboratory's receiving hours by weekday, seven of them, in its zone. */
  hours(laboratory: string): readonly OpenMinutes[]
  /** When a service calls at a plant; null where no pickups are known. */
  pickups(plant: string, service: string | null): Pickups | null
}
