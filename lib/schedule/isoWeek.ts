import { getISOWeek, getISOWeekYear } from 'date-fns'
import { getWeekday, toCivilDate, toDayNumber } from '@/lib/hold/zone'

/** A week of ISO 8601 begins on Monday and belongs to the year of its Thursday. */
export interface IsoWeek {
  year: number
  /** 1 to 53. */
  week: number
}

export function toIsoWeek(day: number): IsoWeek {
  const { year, month, day: date } = toCivilDate(day)
  // date-fns reads dates in the machine's zone, and noon exists on every day in every zone.
  const noon = new Date(2000, 0, 1, 12)
  noon.setFullYear(year, month - 1, date)
  return { year: getISOWeekYear(noon), week: getISOWeek(noon) }
}

/** "2026-W48" */
export function formatIsoWeek({ year, week }: IsoWeek): string {
  return `${String(year).padStart(4, '0')}-W${String(week).padStart(2, '0')}`
}

/** The day number of the week's Monday; null if the year has no such week. */
export function findMonday({ year, week }: IsoWeek): number | null {
  const fourth = toDayNumber(year, 1, 4)
  const monday = fourth - ((getWeekday(fourth) + 6) % 7) + 7 * (week - 1)
  const found = toIsoWeek(monday)
  return found.year === year && found.week === week ? monday : null
}

/** Parses "2026-W48"; null if the year has no such week. */
export function parseIsoWeek(text: string): IsoWeek | null {
  const match = /^(\d{4})-W(\d{2})$/.exec(text)
  if (!match) return null
  const week = { year: Number(match[1]), week: Number(match[2]) }
  return findMonday(week) === null ? null : week
}
