import type { Calendar } from '@/lib/hold/calendar'
import type { OpenMinutes } from '@/lib/hold/openHours'
import type { Pickups } from '@/lib/hold/pickup'

/** The facts about plants, laboratories and services that forecasts need. Weekdays are 0 (Sunday) to 6. */
export interface Places {
  /** The plant's IANA zone. */
  plantZone(plant: string): string
  /** The laboratory's zone and open days. */
  calendar(laboratory: string): Calendar
  /** The days on which a plant cuts and hands over, in its zone; Monday to Friday if absent. */
  workdays?(plant: string): Calendar
  /** The laboratory's receiving hours for each of the seven weekdays, in its zone. */
  hours(laboratory: string): readonly OpenMinutes[]
  /** When a service calls at a plant; null if no pickups are known. */
  pickups(plant: string, service: string | null): Pickups | null
}
