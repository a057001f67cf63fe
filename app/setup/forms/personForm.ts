import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { isZone } from '@/lib/hold/zone'
import { isEmail, normalizeEmail } from '@/lib/policy/email'
import { PLACE_LISTS, ROLE_NAMES, ROLES, type Role, type RoleName, toRoles } from '@/lib/policy/personRoles'
import type { PersonEntry } from '@/lib/store/people/people'
import { type FieldProblem, readFormValues } from './formValues'

/** A person as the form sent them. Places that the register does not know are left out. */
export function parsePerson(
  fields: FormData,
  known: { plants: ReadonlySet<string>; laboratories: ReadonlySet<string> },
): { entry: PersonEntry; problems: FieldProblem[] } {
  const values = readFormValues(fields)
  const problems: FieldProblem[] = []
  const email = normalizeEmail(values.email ?? '')
  if (!isEmail(email))
    problems.push({ field: 'email', detail: 'Write an e-mail address, as name@example.org.' })
  if (!values.name) problems.push({ field: 'name', detail: 'Write a name.' })
  const zone = values.zone ?? ''
  if (!isZone(zone)) problems.push({ field: 'zone', detail: 'Write a zone, like Europe/Lisbon.' })
  const said = readRoleFields((name) => fields.getAll(name).filter((value) => typeof value === 'string'))
  const roles = toRoles(
    said.filter(({ role, place }) => {
      const { placeKind: of } = ROLES[role]
      return of === null || known[PLACE_LISTS[of]].has(place)
    }),
  )
  return { entry: { email, name: values.name ?? '', zone, roles }, problems }
}

/** The name of the field of a person's form that says a role: one for each that is over all, one for each kind of place. */
export function getRoleField(role: RoleName): string {
  const { placeKind: of } = ROLES[role]
  return of === null ? role : PLACE_LISTS[of]
}

/** The roles that a person's form says; `valuesOf` gives all values of a field. */
export function readRoleFields(valuesOf: (field: string) => readonly string[]): Role[] {
  return ROLE_NAMES.flatMap((role) => {
    const values = valuesOf(getRoleField(role))
    if (ROLES[role].placeKind === null) return values.includes('yes') ? [{ role, place: '' }] : []
    return values.map((place) => ({ role, place }))
  })
}

/** What can be written as a role: "administrator, reader or …". */
export const ROLE_CHOICES = `${ROLE_NAMES.slice(0, -1).join(', ')} or ${ROLE_NAMES.at(-1)}`

/** The role of a line: null where it says none, a sentence where it is none that can be. */
export function parseRole(role: string, place: string, register: RegisterDocument): Role | string | null {
  const said = role.toLowerCase()
  if (said === '') return place === '' ? null : `role: Write what the person is at ${place}.`
  const known = ROLE_NAMES.find((one) => one === said)
  if (!known) return `role: "${role}" is none; write ${ROLE_CHOICES}.`
  const { placeKind: of } = ROLES[known]
  if (of === null)
    return place === '' ? { role: known, place } : `place: The role of ${said} has none; leave it empty.`
  if (place === '') return `place: Write the code of the ${of}.`
  return register[PLACE_LISTS[of]].some(({ code }) => code === place)
    ? { role: known, place }
    : `place: No ${of} of the register has the code "${place}".`
}

/** The zone of the first plant or laboratory that lines name. */
export function findPlaceZone(roles: readonly Role[], register: RegisterDocument): string | undefined {
  for (const { role, place } of roles) {
    const { placeKind: of } = ROLES[role]
    if (of !== null) return register[PLACE_LISTS[of]].find(({ code }) => code === place)?.zone
  }
  return undefined
}
