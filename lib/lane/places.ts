import type { Calendar } from '@/lib/hold/calendar'

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
  /**
   * The minute of the local day at which a service picks up at a plant, by weekday, seven of them, null on a weekday
   * without pickup; null where no pickups are known.
   */
  pickups(plant: string, service: string | null): readonly (number | null)[] | null
}
