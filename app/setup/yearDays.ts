import { type LaboratoryContent, toHolidayRule, WEEKDAYS } from '@/lib/custody/registerDocument'
import { createHolidayLookup } from '@/lib/hold/holidayRule'
import { getWeekday, parseIsoDate, toCivilDate, toDayNumber } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'

/** A day of a laboratory's year: open, or closed and why. */
export interface YearDay {
  /** Day of the month. */
  date: number
  /** 0 (Monday) to 6. */
  column: number
  /** null: open. '' : closed as on every such weekday. Else the reason in a word or two. */
  closed: string | null
}

/** The twelve months of a laboratory's year as its entry has it, versions before it left aside. */
export function computeYearDays(
  laboratory: Pick<LaboratoryContent, 'receiving' | 'closed' | 'holidays'>,
  year: number,
): YearDay[][] {
  const open = WEEKDAYS.map((day) => (laboratory.receiving[day] ?? []).length > 0)
  const closed = new Set(laboratory.closed.map(parseIsoDate))
  const holidayOn = createHolidayLookup((laboratory.holidays ?? []).map(toHolidayRule))
  return Array.from({ length: 12 }, (_, index) => {
    const first = toDayNumber(year, index + 1, 1)
    const count = toDayNumber(year, index + 2, 1) - first
    return Array.from({ length: count }, (_, of) => {
      const day = first + of
      const why = closed.has(day) ? 'closed' : holidayOn(day)
      const weekday = getWeekday(day)
      return {
        date: toCivilDate(day).day,
        column: (weekday + 6) % 7,
        closed: open[weekday] ? why : '',
      }
    })
  })
}

/** The closed days of a month that are no weekday's habit, in words: "1 New Year; 24 to 31 closed". */
export function formatClosedDays(t: Translate, month: readonly YearDay[]): string {
  const spans: { from: number; to: number; why: string }[] = []
  for (const { date, closed } of month) {
    if (closed === null || closed === '') continue
    const last = spans.at(-1)
    // A weekend within a closure does not part it.
    const isGoingOn = last?.why === closed && month.slice(last.to, date - 1).every((day) => day.closed === '')
    if (last && isGoingOn) last.to = date
    else spans.push({ from: date, to: date, why: closed })
  }
  return spans.map(({ from, to, why }) => `${from === to ? from : `${from} to ${to}`} ${why}`).join('; ')
}
