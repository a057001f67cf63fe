import { WEEKDAYS } from '@/lib/custody/registerDocument'
import { isZone } from '@/lib/hold/zone'
import type { Office } from '@/lib/store/register/office'
import { formatClosures, parseClosures } from '../forms/closures'
import type { FieldProblem, FormValues } from '../forms/formValues'
import { getTickedWorkdays } from '../weekdays'

/** The programme's office as its form has it: workdays as mon tue wed, which it shows ticked, and closures a line. */
export function toOfficeValues({ zone, weekdays, closed }: Office): FormValues {
  return {
    zone,
    workdays: weekdays.map((weekday) => WEEKDAYS[weekday % 7]).join(' '),
    closed: formatClosures(closed).join('\n'),
  }
}

/** The office that a form says, and what is wrong with it. */
export function parseOffice(values: FormValues): { office: Office; problems: FieldProblem[] } {
  const { zone = '' } = values
  const { dates, problems } = parseClosures(values.closed)
  if (!isZone(zone)) problems.push({ field: 'zone', detail: 'Write a zone, like Europe/Lisbon.' })
  // Sunday is the seventh day of ISO 8601's week.
  const weekdays = getTickedWorkdays({ ...values, areWorkdaysTicked: 'yes' }).map(
    (day) => WEEKDAYS.indexOf(day) || 7,
  )
  if (weekdays.length === 0) problems.push({ field: 'workdays', detail: 'Tick at least one weekday.' })
  return { office: { zone, weekdays: weekdays.sort(), closed: dates }, problems }
}
