import { civilDate, DAY, dayNumber, instantsOf, localDay, MINUTE, weekdayOf } from '@/lib/hold/zone'

/** When in its week the programme's mail goes: ISO weekday 1 (Monday) to 7, and minutes after local midnight. */
export interface SendTime {
  weekday: number
  minuteOfDay: number
}

/** A week of ISO 8601, by its Monday as a day number, and its name, like 2026-W48. */
export interface IsoWeek {
  monday: number
  name: string
}

/** The ISO week in which a local day lies. */
export function weekOfDay(day: number): IsoWeek {
  const monday = day - ((weekdayOf(day) + 6) % 7)
  // A week belongs to the year in which its Thursday lies (ISO 8601).
  const { year } = civilDate(monday + 3)
  const number = Math.floor((monday + 3 - dayNumber(year, 1, 1)) / 7) + 1
  return { monday, name: `${String(year).padStart(4, '0')}-W${String(number).padStart(2, '0')}` }
}

/** The week of a name like 2026-W48; undefined where there is none, like 2025-W53. */
export function weekNamed(name: string): IsoWeek | undefined {
  const match = /^(\d{4})-W(\d{2})$/.exec(name)
  if (!match) return undefined
  // 4 January is always in week 1.
  const first = weekOfDay(dayNumber(Number(match[1]), 1, 4))
  const week = weekOfDay(first.monday + 7 * (Number(match[2]) - 1))
  return week.name === name ? week : undefined
}

/**
 * The instant (ms UTC) at which a week's mail is due in `zone`. A local time that comes twice is taken the first time;
 * one that is skipped is read with the offset before the change, as RFC 5545 section 3.3.5 has it.
 */
export function sendAt(week: IsoWeek, { weekday, minuteOfDay }: SendTime, zone: string): number {
  const local = (week.monday + weekday - 1) * DAY + minuteOfDay * MINUTE
  const { instants, isGap } = instantsOf(local, zone)
  return (isGap ? instants.at(-1) : instants[0]) as number
}

/** The last week whose mail is due at `now` (ms UTC) in `zone`, and since when. Of missed weeks only that one is caught up. */
export function lastDue(now: number, time: SendTime, zone: string): { week: IsoWeek; dueAt: number } {
  const today = localDay(now, zone)
  // A day may be skipped or read twice at the date line, so the week after is looked at too.
  for (let week = weekOfDay(today + 7); ; week = weekOfDay(week.monday - 7)) {
    const dueAt = sendAt(week, time, zone)
    if (dueAt <= now) return { week, dueAt }
  }
}

/** The first week whose mail is still to come at `now` (ms UTC) in `zone`, and when. */
export function nextDue(now: number, time: SendTime, zone: string): { week: IsoWeek; dueAt: number } {
  const { week } = lastDue(now, time, zone)
  const next = weekOfDay(week.monday + 7)
  return { week: next, dueAt: sendAt(next, time, zone) }
}

/** The local day at an instant, as year-month-day. */
export function localDate(now: number, zone: string): string {
  const day = localDay(now, zone)
  return new Date(day * DAY).toISOString().slice(0, 10)
}
