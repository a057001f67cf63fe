import { type LaboratoryContent, toHolidayRule, WEEKDAYS } from '@/lib/custody/registerDocument'
import { createHolidayLookup } from '@/lib/hold/holidayRule'
import { getWeekday, parseIsoDate, toCivilDate, toDayNumber } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'

/** A day of a laboratory's year. */
export interface YearDay {
  /** Day of the month. */
  date: number
  /** 0 (Monday) to 6. */
  column: number
  /** `weekday`: closed like every such weekday. */
  state: 'open' | 'weekday' | 'closure' | 'holiday'
  /** The name of the holiday, if it is one. */
  holiday: string | null
}

/** The twelve months of a year by the laboratory's newest version alone. */
export function computeYearDays(
  laboratory: Pick<LaboratoryContent, 'receiving' | 'closed' | 'holidays'>,
  year: number,
): YearDay[][] {
  const isOpen = WEEKDAYS.map((day) => (laboratory.receiving[day] ?? []).length > 0)
  const closed = new Set(laboratory.closed.map(parseIsoDate))
  const findHoliday = createHolidayLookup((laboratory.holidays ?? []).map(toHolidayRule))
  const getState = (day: number): Pick<YearDay, 'state' | 'holiday'> => {
    if (!isOpen[getWeekday(day)]) return { state: 'weekday', holiday: null }
    if (closed.has(day)) return { state: 'closure', holiday: null }
    const holiday = findHoliday(day)
    return { state: holiday === null ? 'open' : 'holiday', holiday }
  }
  return Array.from({ length: 12 }, (_, index) => {
    const first = toDayNumber(year, index + 1, 1)
    const count = toDayNumber(year, index + 2, 1) - first
    return Array.from({ length: count }, (_, offset) => {
      const day = first + offset
      return { date: toCivilDate(day).day, column: (getWeekday(day) + 6) % 7, ...getState(day) }
    })
  })
}

/** The holidays and closures of a month, one line each: "1 New Year", "24 to 31 closed". */
export function formatClosedDays(t: Translate, month: readonly YearDay[]): string[] {
  const spans: { from: number; to: number; holiday: string | null }[] = []
  for (const { date, state, holiday } of month) {
    if (state === 'open' || state === 'weekday') continue
    const last = spans.at(-1)
    // A weekend does not end a closure.
    const isSameSpan =
      last?.holiday === holiday &&
      month.slice(last.to, date - 1).every((between) => between.state === 'weekday')
    if (last && isSameSpan) last.to = date
    else spans.push({ from: date, to: date, holiday })
  }
  return spans.map((span) => {
    const [from, to] = [String(span.from), String(span.to)]
    if (span.holiday !== null)
      return from === to
        ? `${from} ${span.holiday}`
        : t('setup.year.holidays', { from, to, name: span.holiday })
    return from === to ? t('setup.year.closure', { day: from }) : t('setup.year.closures', { from, to })
  })
}
