import { WEEKDAYS } from '@/lib/custody/registerDocument'
import { isZone } from '@/lib/hold/zone'
import type { Office } from '@/lib/store'
import { closuresOf, readClosures } from './closures'
import { type FieldProblem, type FormValues, partsOf } from './formValues'

/** The programme's office as its form has it: weekdays as mon tue wed, closures a line. */
export function officeValues({ zone, weekdays, closed }: Office): FormValues {
  return {
    zone,
    weekdays: weekdays.map((weekday) => WEEKDAYS[weekday % 7]).join(' '),
    closed: closuresOf(closed).join('\n'),
  }
}

export function officeOfForm(values: FormValues): { office: Office; problems: FieldProblem[] } {
  const { zone = '' } = values
  const { dates, problems } = readClosures(values.closed)
  if (!isZone(zone)) problems.push({ field: 'zone', detail: 'Write a zone, like Europe/Lisbon.' })
  const weekdays = partsOf(values.weekdays?.toLowerCase(), /[,;\s]+/).map((day) => {
    const number = (WEEKDAYS as readonly string[]).indexOf(day)
    if (number < 0)
      problems.push({ field: 'weekdays', detail: `"${day}" is no weekday; write them as mon tue wed.` })
    return number === 0 ? 7 : number
  })
  if (weekdays.length === 0)
    problems.push({ field: 'weekdays', detail: 'Name a weekday or more, as mon tue wed.' })
  return { office: { zone, weekdays: [...new Set(weekdays)].sort(), closed: dates }, problems }
}
