import type { Calendar } from '@/lib/hold/calendar'
import { weekdayOf } from '@/lib/hold/zone'

/**
 * The days on which a plant cuts and hands over where nothing is said of them: Monday to Friday in its zone. Common
 * practice, no source.
 */
export function workdaysIn(zone: string): Calendar {
  const known = calendars.get(zone)
  if (known) return known
  const calendar = { zone, isOpen: isWorkday }
  calendars.set(zone, calendar)
  return calendar
}

const calendars = new Map<string, Calendar>()

function isWorkday(day: number): boolean {
  const weekday = weekdayOf(day)
  return weekday !== 0 && weekday !== 6
}
