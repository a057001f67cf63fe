import { getISOWeek, getISOWeekYear } from 'date-fns'
import { civilDate, dayNumber, weekdayOf } from '@/lib/hold/zone'

/** A week of ISO 8601: it begins on Monday and belongs to the year that has its Thursday. */
export interface IsoWeek {
  year: number
  /** 1 to 53. */
  week: number
}

/** The ISO week of a local day, a day number. */
export function isoWeekOf(day: number): IsoWeek {
  const { year, month, day: date } = civilDate(day)
  // date-fns reads the fields of a date on the machine's own clock: noon is there on every day, wherever it stands.
  const noon = new Date(2000, 0, 1, 12)
  noon.setFullYear(year, month - 1, date)
  return { year: getISOWeekYear(noon), week: getISOWeek(noon) }
}

/** A week as ISO 8601 writes it: 2026-W48. */
export function isoWeekText({ year, week }: IsoWeek): string {
  return `${String(year).padStart(4, '0')}-W${String(week).padStart(2, '0')}`
}

/** The day number of the Monday on which a week begins; null for a week that the year does not have. */
export function mondayOf({ year, week }: IsoWeek): number | null {
  const fourth = dayNumber(year, 1, 4)
  const monday = fourth - ((weekdayOf(fourth) + 6) % 7) + 7 * (week - 1)
  const found = isoWeekOf(monday)
  return found.year === year && found.week === week ? monday : null
}

/** Reads 2026-W48; null where there is no such week. */
export function parseIsoWeek(text: string): IsoWeek | null {
  const match = /^(\d{4})-W(\d{2})$/.exec(text)
  if (!match) return null
  const week = { year: Number(match[1]), week: Number(match[2]) }
  return mondayOf(week) === null ? null : week
}
