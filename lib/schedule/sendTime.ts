import { getISOWeek, getISOWeekYear } from 'date-fns'
import {
  DAY,
  findInstants,
  formatIsoDate,
  getWeekday,
  MINUTE,
  toCivilDate,
  toDayNumber,
  toLocalDay,
} from '@/lib/hold/zone'

/** When in its week the programme's mail goes: ISO weekday 1 (Monday) to 7, and minutes after local midnight. */
export interface SendTime {
  weekday: number
  minuteOfDay: number
}

/** A week of ISO 8601, by its Monday as a day number, and its name, like 2026-W48. */
export interface NamedWeek {
  monday: number
  name: string
}

/** The ISO week in which a local day lies. */
export function toNamedWeek(day: number): NamedWeek {
  return { monday: day - ((getWeekday(day) + 6) % 7), name: formatIsoWeek(toIsoWeek(day)) }
}

/** The week of a name like 2026-W48; undefined where there is none, like 2025-W53. */
export function findWeek(name: string): NamedWeek | undefined {
  const week = parseIsoWeek(name)
  return week === null ? undefined : toNamedWeek(findMonday(week) as number)
}

/**
 * The instant (ms UTC) at which a week's mail is due in `zone`. A local time that comes twice is taken the first time;
 * one that is skipped is read with the offset before the change, as RFC 5545 section 3.3.5 has it.
 */
export function computeSendAt(week: NamedWeek, { weekday, minuteOfDay }: SendTime, zone: string): number {
  const local = (week.monday + weekday - 1) * DAY + minuteOfDay * MINUTE
  const { instants, isGap } = findInstants(local, zone)
  return (isGap ? instants.at(-1) : instants[0]) as number
}

/** The last week whose mail is due at `now` (ms UTC) in `zone`, and since when. Of missed weeks only that one is caught up. */
export function findLastSend(now: number, time: SendTime, zone: string): { week: NamedWeek; dueAt: number } {
  const today = toLocalDay(now, zone)
  // A day may be skipped or read twice at the date line, so the week after is looked at too.
  for (let week = toNamedWeek(today + 7); ; week = toNamedWeek(week.monday - 7)) {
    const dueAt = computeSendAt(week, time, zone)
    if (dueAt <= now) return { week, dueAt }
  }
}

/** The first week whose mail is still to come at `now` (ms UTC) in `zone`, and when. */
export function findNextSend(now: number, time: SendTime, zone: string): { week: NamedWeek; dueAt: number } {
  const { week } = findLastSend(now, time, zone)
  const next = toNamedWeek(week.monday + 7)
  return { week: next, dueAt: computeSendAt(next, time, zone) }
}

/** The local day at an instant, as year-month-day. */
export function formatLocalDate(now: number, zone: string): string {
  return formatIsoDate(toLocalDay(now, zone))
}

/** A week of ISO 8601: it begins on Monday and belongs to the year that has its Thursday. */
interface IsoWeek {
  year: number
  /** 1 to 53. */
  week: number
}

/** The ISO week of a local day, a day number. */
export function toIsoWeek(day: number): IsoWeek {
  const { year, month, day: date } = toCivilDate(day)
  // date-fns reads the fields of a date on the machine's own clock: noon is there on every day, wherever it stands.
  const noon = new Date(2000, 0, 1, 12)
  noon.setFullYear(year, month - 1, date)
  return { year: getISOWeekYear(noon), week: getISOWeek(noon) }
}

/** A week as ISO 8601 writes it: 2026-W48. */
export function formatIsoWeek({ year, week }: IsoWeek): string {
  return `${String(year).padStart(4, '0')}-W${String(week).padStart(2, '0')}`
}

/** The day number of the Monday on which a week begins; null for a week that the year does not have. */
export function findMonday({ year, week }: IsoWeek): number | null {
  const fourth = toDayNumber(year, 1, 4)
  const monday = fourth - ((getWeekday(fourth) + 6) % 7) + 7 * (week - 1)
  const found = toIsoWeek(monday)
  return found.year === year && found.week === week ? monday : null
}

/** Reads 2026-W48; null where there is no such week. */
export function parseIsoWeek(text: string): IsoWeek | null {
  const match = /^(\d{4})-W(\d{2})$/.exec(text)
  if (!match) return null
  const week = { year: Number(match[1]), week: Number(match[2]) }
  return findMonday(week) === null ? null : week
}
