import { WEEKDAYS } from '@/lib/custody/registerDocument'
import { addOpenDays, type Calendar, createCalendar } from '@/lib/hold/calendar'
import { getWeekday, parseIsoDate } from '@/lib/hold/zone'
import type { LaboratoryEntry } from './registerDocument'
import { type LocalDay, toInstant } from './wallClock'

/** A laboratory's opening times. */
export interface OpenDays {
  calendar: Calendar
  /** The n-th open day after `day`; for n = 0, `day` itself if open, else the next open one. */
  after(day: LocalDay, n: number): LocalDay
  /** The first opening and the last closing of an open day (ms UTC). */
  hours(day: LocalDay): { opensAt: number; closesAt: number }
  /** The instant (ms UTC, whole minutes) at which this share (0..1) of an open day's opening time has passed. */
  moment(day: LocalDay, share: number): number
}

export function makeOpenDays({ zone, receiving, closed }: LaboratoryEntry): OpenDays {
  const spans = (weekday: number) => (receiving[WEEKDAYS[weekday] ?? 'sun'] ?? []).map(parseSpan)
  const weekdays = new Set([0, 1, 2, 3, 4, 5, 6].filter((weekday) => spans(weekday).length > 0))
  const closedDays = new Set(closed.map((date) => parseIsoDate(date) ?? 0))
  const calendar = createCalendar(zone, [
    { weekdays, closed: closedDays, holdsFromAt: Number.NEGATIVE_INFINITY },
  ])

  function hours(day: LocalDay): { opensAt: number; closesAt: number } {
    const open = spans(getWeekday(day))
    const opensAt = toInstant(day, open[0]?.opening ?? 0, zone)
    return { opensAt, closesAt: toInstant(day, open[open.length - 1]?.closing ?? 0, zone) }
  }
  function moment(day: LocalDay, share: number): number {
    const open = spans(getWeekday(day))
    let left = Math.floor(share * open.reduce((sum, { opening, closing }) => sum + closing - opening, 0))
    for (const { opening, closing } of open) {
      if (left < closing - opening) return toInstant(day, opening + left, zone)
      left -= closing - opening
    }
    return hours(day).closesAt
  }
  return { calendar, after: (day, n) => addOpenDays(day, n, calendar), hours, moment }
}

/** Parses "HH:MM-HH:MM" into minutes since midnight. */
function parseSpan(span: string): { opening: number; closing: number } {
  const minutes = (clock: string | undefined) => {
    const [hour = 0, minute = 0] = (clock ?? '').split(':').map(Number)
    return hour * 60 + minute
  }
  const [opening, closing] = span.split('-')
  return { opening: minutes(opening), closing: minutes(closing) }
}
