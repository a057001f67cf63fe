import { type Calendar, USUAL_WORKDAYS } from '@/lib/hold/calendar'
import { weekdayOf } from '@/lib/hold/zone'

/** The days on which a plant in `zone` cuts and hands over where nothing is said of them. */
export function workdaysIn(zone: string): Calendar {
  const known = calendars.get(zone)
  if (known) return known
  const calendar = { zone, isOpen: isWorkday }
  calendars.set(zone, calendar)
  return calendar
}

const calendars = new Map<string, Calendar>()

function isWorkday(day: number): boolean {
  return USUAL_WORKDAYS.has(weekdayOf(day))
}
