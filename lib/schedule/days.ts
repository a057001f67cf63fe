import { type Calendar, openDayFrom } from '@/lib/hold/calendar'
import { lastInstantOf, localDay } from '@/lib/hold/zone'

/** How far back a day that fits two calendars is looked for, in days. */
const FURTHEST = 800

/** The last open day that is not after `day`; day numbers in the calendar's zone. */
export function lastOpen(day: number, calendar: Calendar): number {
  return openDayFrom(day, -1, calendar)
}

/** The `amount`-th open day before `day`; with amount 0 `day` itself if it is open, else the last one before it. */
export function openDayBefore(day: number, amount: number, calendar: Calendar): number {
  let current = lastOpen(day, calendar)
  for (let left = amount; left > 0; left -= 1) current = lastOpen(current - 1, calendar)
  return current
}

/** The last local day of `zone` that is over by an instant (ms UTC): its last instant is not after it. */
export function lastDayBy(at: number, zone: string): number {
  const day = localDay(at, zone)
  return lastInstantOf(day, zone) <= at ? day : day - 1
}

/** The last open day not after `day` that `fits` too; the last open day where none does. */
export function lastFitting(day: number, calendar: Calendar, fits: (day: number) => boolean): number {
  for (let back = day; back > day - FURTHEST; back -= 1) if (calendar.isOpen(back) && fits(back)) return back
  return lastOpen(day, calendar)
}

/** The first open day not before `day` that `fits` too; the first open day where none does. */
export function firstFitting(day: number, calendar: Calendar, fits: (day: number) => boolean): number {
  for (let next = day; next < day + FURTHEST; next += 1) if (calendar.isOpen(next) && fits(next)) return next
  return openDayFrom(day, 1, calendar)
}
