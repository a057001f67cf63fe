import { isZone } from '@/lib/hold/zone'
import { PLACE_LISTS, ROLES, toRoles } from '@/lib/policy/personRoles'
import { canonicalEmail, isEmail } from '@/lib/store/people/people'
import type { PersonEntry } from '@/lib/store/people/personRows'
import { type FieldProblem, formValues } from './formValues'
import { readRoleFields } from './roleFields'

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
  const said = readRoleFields((name) => fields.getAll(name).filter((value) => typeof value === 'string'))
  const roles = toRoles(
    said.filter(({ role, place }) => {
      const { of } = ROLES[role]
      return of === null || known[PLACE_LISTS[of]].has(place)
    }),
  )
  return { entry: { email, name: values.name ?? '', zone, roles }, problems }
}
