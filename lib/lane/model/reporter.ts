import { type Calendar, DEFAULT_WORKDAYS } from '@/lib/hold/calendar'
import { MILESTONE_ORDER, type Milestone } from '@/lib/hold/milestone'
import { getWeekday } from '@/lib/hold/zone'
import { OpenDays } from './openDays'
import type { Places } from './places'

/** The plant reports until the sample is in the carrier's hands, the laboratory from then on. */
export function isReportedByPlant(milestone: Milestone): boolean {
  return MILESTONE_ORDER[milestone] <= MILESTONE_ORDER.dispatched
}

export function findReporter(milestone: Milestone, lane: { plant: string; laboratory: string }): string {
  return isReportedByPlant(milestone) ? lane.plant : lane.laboratory
}

/** Zones and open days of places; answers of their calendars are cached. */
export class PlaceDays {
  readonly places: Places
  readonly #laboratories = new Map<string, OpenDays>()
  readonly #plants = new Map<string, OpenDays>()
  /** Plants of a zone without a calendar of their own share one. */
  readonly #byCalendar = new Map<Calendar, OpenDays>()

  constructor(places: Places) {
    this.places = places
  }

  /** The days on which the reporter of `milestone` works. */
  getDays(milestone: Milestone, place: string): OpenDays {
    const isPlant = isReportedByPlant(milestone)
    const kept = isPlant ? this.#plants : this.#laboratories
    let days = kept.get(place)
    if (!days) {
      days = isPlant
        ? this.#workdays(this.places.workdays?.(place) ?? getDefaultWorkdays(this.places.plantZone(place)))
        : new OpenDays(this.places.calendar(place))
      kept.set(place, days)
    }
    return days
  }

  #workdays(calendar: Calendar): OpenDays {
    const known = this.#byCalendar.get(calendar)
    if (known) return known
    const days = new OpenDays(calendar)
    this.#byCalendar.set(calendar, days)
    return days
  }
}

/** The workdays of a plant in `zone` that has no calendar. */
function getDefaultWorkdays(zone: string): Calendar {
  const known = calendarCache.get(zone)
  if (known) return known
  const calendar = { zone, isOpen: isWorkday }
  calendarCache.set(zone, calendar)
  return calendar
}

const calendarCache = new Map<string, Calendar>()
function isWorkday(day: number): boolean {
  return DEFAULT_WORKDAYS.has(getWeekday(day))
}
