import { WEEKDAYS } from '@/lib/custody/registerDocument'
import { USUAL_WORKDAYS } from '@/lib/hold/calendar'
import { WEEK } from '../weekHours'
import { type FormValues, partsOf } from './formValues'

type Weekday = (typeof WEEKDAYS)[number]

/** The field that is ticked for a weekday. */
export const workdayField = (day: Weekday) => `works ${day}`

/** The workdays of a plant whose entry names none. */
const USUAL = WEEK.filter((day) => USUAL_WORKDAYS.has(WEEKDAYS.indexOf(day)))

/** Whether a form had its workdays ticked rather than written, as a CSV has them. */
const areTicked = (values: FormValues) => values.areWorkdaysTicked === 'yes'

/** The workdays that a form shows ticked. */
export function tickedWorkdays(values: FormValues): readonly Weekday[] {
  if (areTicked(values)) return WEEK.filter((day) => values[workdayField(day)] === 'yes')
  const written = writtenWorkdays(values)
  return written.length > 0 ? WEEK.filter((day) => written.includes(day)) : USUAL
}

/** Workdays as an entry has them: ticked in a form or written; undefined where they are the usual ones. */
export function workdaysIn(values: FormValues): readonly string[] | undefined {
  if (!areTicked(values)) {
    const written = writtenWorkdays(values)
    return written.length > 0 ? written : undefined
  }
  const ticked = tickedWorkdays(values)
  return ticked.join() === USUAL.join() ? undefined : ticked
}

function writtenWorkdays({ workdays }: FormValues): string[] {
  return [...new Set(partsOf(workdays?.toLowerCase(), /[,;\s]+/))]
}
