import type { Calendar } from './calendar'
import { DAY, findInstants, getWeekday, MINUTE, toLocalDay } from './zone'

/** Opening hours of one day: from and to in minutes of the local day, sorted, not overlapping. */
export type OpenMinutes = readonly (readonly [number, number])[]

/** Receiving hours are searched this many days back. */
const MAX_DAYS_BACK = 366

/**
 * The last instant (ms UTC) up to `at` in receiving hours, or at their end. Hours are by weekday, 0 (Sunday) to 6,
 * in the calendar's zone. -Infinity if there were none for a year.
 */
export function findLastOpenInstant(at: number, hours: readonly OpenMinutes[], calendar: Calendar): number {
  const { zone } = calendar
  const today = toLocalDay(at, zone)
  for (let day = today; day > today - MAX_DAYS_BACK; day -= 1) {
    if (!calendar.isOpen(day)) continue
    const open = hours[getWeekday(day)] ?? []
    for (let index = open.length - 1; index >= 0; index -= 1) {
      const [from, to] = open[index] as readonly [number, number]
      if (toInstant(day, from, zone) < at) return Math.min(at, toInstant(day, to, zone))
    }
  }
  return Number.NEGATIVE_INFINITY
}

/**
 * The instant at which a local day reaches a minute; the first one if a change of clocks repeats or skips it.
 */
export function toInstant(day: number, minute: number, zone: string): number {
  return findInstants(day * DAY + minute * MINUTE, zone).instants[0] as number
}

/** Parses "16:30". */
export function parseMinuteOfDay(text: string): number {
  return Number(text.slice(0, 2)) * 60 + Number(text.slice(3, 5))
}
