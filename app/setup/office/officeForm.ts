import { WEEKDAYS } from '@/lib/custody/registerDocument'
import { isZone } from '@/lib/hold/zone'
import { message } from '@/lib/messages/message'
import type { Office } from '@/lib/store/register/office'
import { formatClosures, parseClosures } from '../forms/closures'
import type { FieldProblem, FormValues } from '../forms/formValues'
import { getTickedWorkdays } from '../weekdays'

/** Fills the form of the programme's office. Workdays are "mon tue wed", as in a CSV. */
export function toOfficeValues({ zone, weekdays, closed }: Office): FormValues {
  return {
    zone,
    workdays: weekdays.map((weekday) => WEEKDAYS[weekday % 7]).join(' '),
    closed: formatClosures(closed).join('\n'),
  }
}

export function parseOffice(values: FormValues): { office: Office; problems: FieldProblem[] } {
  const { zone = '' } = values
  const { dates, problems } = parseClosures(values.closed)
  if (!isZone(zone)) problems.push({ field: 'zone', detail: message('setup.fault.zone') })
  // ISO 8601: Monday is 1, Sunday is 7.
  const weekdays = getTickedWorkdays({ ...values, areWorkdaysTicked: 'yes' }).map(
    (day) => WEEKDAYS.indexOf(day) || 7,
  )
  if (weekdays.length === 0) problems.push({ field: 'workdays', detail: message('setup.fault.noWorkday') })
  return { office: { zone, weekdays: weekdays.sort(), closed: dates }, problems }
}
