import { WEEKDAYS, type Weekday } from '@/lib/custody/registerDocument'
import { DEFAULT_WORKDAYS } from '@/lib/hold/calendar'
import type { Translate } from '@/lib/messages/translate'
import { type FormValues, splitParts } from './forms/formValues'

/** The week, Monday first. */
export const WEEK: readonly Weekday[] = [...WEEKDAYS.slice(1), WEEKDAYS[0]]

export const WEEKDAY_LABELS = {
  mon: 'setup.weekday.mon',
  tue: 'setup.weekday.tue',
  wed: 'setup.weekday.wed',
  thu: 'setup.weekday.thu',
  fri: 'setup.weekday.fri',
  sat: 'setup.weekday.sat',
  sun: 'setup.weekday.sun',
} as const satisfies Record<Weekday, string>

export const SHORT_WEEKDAY_LABELS = {
  mon: 'setup.shortWeekday.mon',
  tue: 'setup.shortWeekday.tue',
  wed: 'setup.shortWeekday.wed',
  thu: 'setup.shortWeekday.thu',
  fri: 'setup.shortWeekday.fri',
  sat: 'setup.shortWeekday.sat',
  sun: 'setup.shortWeekday.sun',
} as const satisfies Record<Weekday, string>

/** Short names, which fit the narrow columns of a month. */
export const CALENDAR_WEEKDAY_LABELS = {
  mon: 'setup.calendarWeekday.mon',
  tue: 'setup.calendarWeekday.tue',
  wed: 'setup.calendarWeekday.wed',
  thu: 'setup.calendarWeekday.thu',
  fri: 'setup.calendarWeekday.fri',
  sat: 'setup.calendarWeekday.sat',
  sun: 'setup.calendarWeekday.sun',
} as const satisfies Record<Weekday, string>

/** Joins neighbouring weekdays with the same value; days without a value are left out. */
function groupWeekdays(
  t: Translate,
  getValue: (day: Weekday) => string | undefined,
): { days: string; value: string }[] {
  const found: { from: Weekday; to: Weekday; value: string }[] = []
  WEEK.forEach((day, index) => {
    const value = getValue(day)
    if (value === undefined || value === '') return
    const last = found.at(-1)
    if (last?.value === value && last.to === WEEK[index - 1]) last.to = day
    else found.push({ from: day, to: day, value })
  })
  return found.map(({ from, to, value }) => {
    const [first, last] = [t(SHORT_WEEKDAY_LABELS[from]), t(SHORT_WEEKDAY_LABELS[to])]
    return { days: from === to ? first : t('setup.cell.days', { from: first, to: last }), value }
  })
}

/** Hours by weekday, one line each: "Mon to Fri 16:30", "Sat 11:00". */
export function formatWeekHours(t: Translate, getHours: (day: Weekday) => string | undefined): string[] {
  return groupWeekdays(t, getHours).map(({ days, value }) => `${days} ${value}`)
}

/** "Mon to Wed and Fri". */
export function formatWeekdays(t: Translate, open: readonly Weekday[]): string {
  const groups = groupWeekdays(t, (day) => (open.includes(day) ? 'open' : undefined))
  return t.list(groups.map(({ days }) => days))
}

/** The name of a weekday's checkbox. */
export const getWorkdayField = (day: Weekday) => `works ${day}`

/** The working days of a plant whose entry has none. */
export const USUAL_WEEK = WEEK.filter((day) => DEFAULT_WORKDAYS.has(WEEKDAYS.indexOf(day)))

/** A form has a checkbox for each weekday; a CSV has them in one cell. */
const hasTickedWorkdays = (values: FormValues) => values.areWorkdaysTicked === 'yes'

export function getTickedWorkdays(values: FormValues): readonly Weekday[] {
  if (hasTickedWorkdays(values)) return WEEK.filter((day) => values[getWorkdayField(day)] === 'yes')
  const written = parseWorkdays(values)
  return written.length > 0 ? WEEK.filter((day) => written.includes(day)) : USUAL_WEEK
}

/** Reads the working days of a form or a CSV; undefined for the usual ones, which an entry leaves out. */
export function readWorkdays(values: FormValues): readonly string[] | undefined {
  if (!hasTickedWorkdays(values)) {
    const written = parseWorkdays(values)
    return written.length > 0 ? written : undefined
  }
  const ticked = getTickedWorkdays(values)
  return ticked.join() === USUAL_WEEK.join() ? undefined : ticked
}

function parseWorkdays({ workdays }: FormValues): string[] {
  return [...new Set(splitParts(workdays?.toLowerCase(), /[,;\s]+/))]
}
