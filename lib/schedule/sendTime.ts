import { DAY, findInstants, formatIsoDate, getWeekday, MINUTE, toLocalDay } from '@/lib/hold/zone'
import { findMonday, formatIsoWeek, parseIsoWeek, toIsoWeek } from './isoWeek'

/** When in the week a mail is sent: ISO weekday 1 (Monday) to 7, and minutes after local midnight. */
export interface SendTime {
  weekday: number
  minuteOfDay: number
}

/** An ISO week: its Monday as a day number, and its name, like 2026-W48. */
export interface NamedWeek {
  monday: number
  name: string
}

/** The ISO week of a local day. */
export function toNamedWeek(day: number): NamedWeek {
  return { monday: day - ((getWeekday(day) + 6) % 7), name: formatIsoWeek(toIsoWeek(day)) }
}

/** The week of a name like 2026-W48; undefined if there is no such week, like 2025-W53. */
export function findWeek(name: string): NamedWeek | undefined {
  const week = parseIsoWeek(name)
  return week === null ? undefined : toNamedWeek(findMonday(week) as number)
}

/**
 * The instant (ms UTC) at which a week's mail is due in `zone`. If the local time comes twice, the first counts; if it is
 * skipped, the offset before the change counts (RFC 5545 section 3.3.5).
 */
export function computeSendAt(week: NamedWeek, { weekday, minuteOfDay }: SendTime, zone: string): number {
  const local = (week.monday + weekday - 1) * DAY + minuteOfDay * MINUTE
  const { instants, isGap } = findInstants(local, zone)
  return (isGap ? instants.at(-1) : instants[0]) as number
}

/** The last week whose mail is due at `now` (ms UTC) in `zone`, and since when. Earlier missed weeks are not caught up. */
export function findLastSend(now: number, time: SendTime, zone: string): { week: NamedWeek; dueAt: number } {
  const today = toLocalDay(now, zone)
  // A zone that crosses the date line skips or repeats a day, so the search begins a week later.
  for (let week = toNamedWeek(today + 7); ; week = toNamedWeek(week.monday - 7)) {
    const dueAt = computeSendAt(week, time, zone)
    if (dueAt <= now) return { week, dueAt }
  }
}

/** The next week whose mail is not yet due at `now` (ms UTC) in `zone`, and when it is. */
export function findNextSend(now: number, time: SendTime, zone: string): { week: NamedWeek; dueAt: number } {
  const { week } = findLastSend(now, time, zone)
  const next = toNamedWeek(week.monday + 7)
  return { week: next, dueAt: computeSendAt(next, time, zone) }
}

/** The local date at an instant: "2026-11-30". */
export function formatLocalDate(now: number, zone: string): string {
  return formatIsoDate(toLocalDay(now, zone))
}
