import type { PersonEntry } from '@/lib/access/enterPeople'
import { canonicalEmail, isEmail } from '@/lib/access/people'
import { isZone } from '@/lib/hold/zone'
import { type FieldProblem, formValues } from './formValues'

/** A person as the form sent them. Places that the register does not know are left out. */
export function personEntry(
  fields: FormData,
  known: { plants: ReadonlySet<string>; laboratories: ReadonlySet<string> },
): { entry: PersonEntry; problems: FieldProblem[] } {
  const values = formValues(fields)
  const problems: FieldProblem[] = []
  const email = canonicalEmail(values.email ?? '')
  if (!isEmail(email))
    problems.push({ field: 'email', detail: 'Write an e-mail address, as name@example.org.' })
  if (!values.name) problems.push({ field: 'name', detail: 'Write a name.' })
  const zone = values.zone ?? ''
  if (!isZone(zone)) problems.push({ field: 'zone', detail: 'Write a zone, like Europe/Lisbon.' })
  const places = (name: 'plants' | 'laboratories') =>
    fields.getAll(name).filter((code): code is string => typeof code === 'string' && known[name].has(code))
  const roles = {
    isAdministrator: values.administrator === 'yes',
    isReader: values.reader === 'yes',
    plants: places('plants'),
    laboratories: places('laboratories'),
  }
  return { entry: { email, name: values.name ?? '', zone, roles }, problems }
}
