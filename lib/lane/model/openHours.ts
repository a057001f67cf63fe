import { DAY, instantsOf, localDay, MINUTE, weekdayOf } from '@/lib/hold/zone'
import type { OpenDays } from './openDays'
import type { OpenMinutes } from './places'

/** How many days back receiving hours are looked for. */
const FURTHEST_BACK = 366

/**
 * The last instant (ms UTC) up to `at` that lies in receiving hours or ends them; hours by weekday, in the days' zone.
 * -Infinity where there were none for a year.
 */
export function lastOpenBefore(at: number, hours: readonly OpenMinutes[], days: OpenDays): number {
  const { zone } = days.calendar
  const today = localDay(at, zone)
  for (let day = today; day > today - FURTHEST_BACK; day -= 1) {
    if (!days.isOpen(day)) continue
    const open = hours[weekdayOf(day)] ?? []
    for (let index = open.length - 1; index >= 0; index -= 1) {
      const [from, to] = open[index] as readonly [number, number]
      if (instantAt(day, from, zone) < at) return Math.min(at, instantAt(day, to, zone))
    }
  }
  return Number.NEGATIVE_INFINITY
}

/** The instant at which a local day reaches a minute; the first where the clocks pass it twice or skip it. */
export function instantAt(day: number, minute: number, zone: string): number {
  return instantsOf(day * DAY + minute * MINUTE, zone).instants[0] as number
}
