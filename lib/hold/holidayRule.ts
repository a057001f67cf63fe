import { getWeekday, toCivilDate, toDayNumber } from './zone'

/** On which day of a year a holiday falls. Months are 1 to 12, weekdays 0 (Sunday) to 6. */
export type HolidayRule = {
  name: string
  /** A holiday on a Saturday moves to the Friday before, one on a Sunday to the Monday after. */
  isObserved: boolean
} & (
  | { on: 'date'; month: number; day: number }
  | { on: 'weekday'; nth: 1 | 2 | 3 | 4 | 5 | 'last'; weekday: number; month: number }
  | { on: 'easter'; days: number }
)

/** Western Easter Sunday of a Gregorian year as a day number. Algorithm: Nature 13 (1876), p. 487. */
function computeEaster(year: number): number {
  const a = year % 19
  const b = Math.floor(year / 100)
  const c = year % 100
  const f = Math.floor((b + 8) / 25)
  const g = Math.floor((b - f + 1) / 3)
  const h = (19 * a + b - Math.floor(b / 4) - g + 15) % 30
  const l = (32 + 2 * (b % 4) + 2 * Math.floor(c / 4) - h - (c % 4)) % 7
  const m = Math.floor((a + 11 * h + 22 * l) / 451)
  const sum = h + l - 7 * m + 114
  return toDayNumber(year, Math.floor(sum / 31), (sum % 31) + 1)
}

/** The day number of the holiday of `year`, which may lie in a neighbouring year; null if that year has none. */
export function findHolidayDay(rule: HolidayRule, year: number): number | null {
  const day = findNominalDay(rule, year)
  if (day === null || !rule.isObserved) return day
  const weekday = getWeekday(day)
  return weekday === 6 ? day - 1 : weekday === 0 ? day + 1 : day
}

function findNominalDay(rule: HolidayRule, year: number): number | null {
  if (rule.on === 'easter') return computeEaster(year) + rule.days
  if (rule.on === 'date') {
    const day = toDayNumber(year, rule.month, rule.day)
    return toCivilDate(day).month === rule.month ? day : null
  }
  const { nth, weekday, month } = rule
  if (nth === 'last') {
    const last = toDayNumber(year, month + 1, 0)
    return last - ((getWeekday(last) - weekday + 7) % 7)
  }
  const first = toDayNumber(year, month, 1)
  const day = first + ((weekday - getWeekday(first) + 7) % 7) + 7 * (nth - 1)
  return toCivilDate(day).month === month ? day : null
}

/** A function that names the holiday on a day number, or null. Years are cached. */
export function createHolidayLookup(rules: readonly HolidayRule[]): (day: number) => string | null {
  const years = new Map<number, Map<number, string>>()
  const getYear = (year: number) => {
    const cached = years.get(year)
    if (cached) return cached
    const found = new Map<number, string>()
    for (const rule of rules)
      for (const near of [year - 1, year, year + 1]) {
        const day = findHolidayDay(rule, near)
        if (day !== null && toCivilDate(day).year === year && !found.has(day)) found.set(day, rule.name)
      }
    years.set(year, found)
    return found
  }
  return (day) => (rules.length === 0 ? null : (getYear(toCivilDate(day).year).get(day) ?? null))
}
