import { WEEKDAYS, type Weekday } from '@/lib/custody/registerDocument'
import { DEFAULT_WORKDAYS } from '@/lib/hold/calendar'
import type { Translate } from '@/lib/messages/translate'
import { type FormValues, splitParts } from './forms/formValues'

/** The week, Monday first. */
export const WEEK: readonly Weekday[] = [...WEEKDAYS.slice(1), WEEKDAYS[0]]

/** Runs of weekdays of which the same is so, with what that is; of days that are left out nothing is. */
function groupWeekdays(soOf: (day: Weekday) => string | undefined): { days: string; so: string }[] {
  const found: { from: Weekday; to: Weekday; so: string }[] = []
  WEEK.forEach((day, index) => {
    const so = soOf(day)
    if (so === undefined || so === '') return
    const last = found.at(-1)
    if (last?.so === so && last.to === WEEK[index - 1]) last.to = day
    else found.push({ from: day, to: day, so })
  })
  return found.map(({ from, to, so }) => ({ days: from === to ? from : `${from} to ${to}`, so }))
}

/** Hours of the week in words: "mon to fri 16:30; sat 11:00". */
export function formatWeekHours(t: Translate, hoursOf: (day: Weekday) => string | undefined): string {
  return groupWeekdays(hoursOf)
    .map(({ days, so }) => `${days} ${so}`)
    .join('; ')
}

/** Days of the week in words: "mon to wed, fri". */
export function formatWeekdays(t: Translate, open: readonly Weekday[]): string {
  return groupWeekdays((day) => (open.includes(day) ? 'open' : undefined))
    .map(({ days }) => days)
    .join(', ')
}

/** The field that is ticked for a weekday. */
export const getWorkdayField = (day: Weekday) => `works ${day}`

/** The workdays of a plant whose entry names none. */
const USUAL_WEEK = WEEK.filter((day) => DEFAULT_WORKDAYS.has(WEEKDAYS.indexOf(day)))

/** Whether a form had its workdays ticked rather than written, as a CSV has them. */
const hasTickedWorkdays = (values: FormValues) => values.areWorkdaysTicked === 'yes'

/** The workdays that a form shows ticked. */
export function getTickedWorkdays(values: FormValues): readonly Weekday[] {
  if (hasTickedWorkdays(values)) return WEEK.filter((day) => values[getWorkdayField(day)] === 'yes')
  const written = parseWorkdays(values)
  return written.length > 0 ? WEEK.filter((day) => written.includes(day)) : USUAL_WEEK
}

/** Workdays as an entry has them: ticked in a form or written; undefined where they are the usual ones. */
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
