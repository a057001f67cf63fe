import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { isZone } from '@/lib/hold/zone'
import { type Message, message } from '@/lib/messages/message'
import { isEmail, normalizeEmail } from '@/lib/policy/email'
import { PLACE_LISTS, ROLE_NAMES, ROLES, type Role, type RoleName, toRoles } from '@/lib/policy/personRoles'
import type { PersonEntry } from '@/lib/store/people/people'
import { type FieldProblem, readFormValues } from './formValues'

/** Reads the form of a person. Places that the register does not know are dropped. */
export function parsePerson(
  fields: FormData,
  known: { plants: ReadonlySet<string>; laboratories: ReadonlySet<string> },
): { entry: PersonEntry; problems: FieldProblem[] } {
  const values = readFormValues(fields)
  const problems: FieldProblem[] = []
  const email = normalizeEmail(values.email ?? '')
  if (!isEmail(email)) problems.push({ field: 'email', detail: message('setup.fault.email') })
  if (!values.name) problems.push({ field: 'name', detail: message('register.name') })
  const zone = values.zone ?? ''
  if (!isZone(zone)) problems.push({ field: 'zone', detail: message('setup.fault.zone') })
  const roleList = readRoleFields((name) => fields.getAll(name).filter((value) => typeof value === 'string'))
  const roles = toRoles(
    roleList.filter(({ role, place }) => {
      const { placeKind } = ROLES[role]
      return placeKind === null || known[PLACE_LISTS[placeKind]].has(place)
    }),
  )
  return { entry: { email, name: values.name ?? '', zone, roles }, problems }
}

/** The field for a role: one per role without a place, one per kind of place. */
export function getRoleField(role: RoleName): string {
  const { placeKind } = ROLES[role]
  return placeKind === null ? role : PLACE_LISTS[placeKind]
}

/** Reads the roles of a person's form; `getValues` returns all values of a field. */
export function readRoleFields(getValues: (field: string) => readonly string[]): Role[] {
  return ROLE_NAMES.flatMap((role) => {
    const values = getValues(getRoleField(role))
    if (ROLES[role].placeKind === null) return values.includes('yes') ? [{ role, place: '' }] : []
    return values.map((place) => ({ role, place }))
  })
}

const PLACE_FAULTS = {
  plant: { missing: 'setup.fault.plantMissing', unknown: 'setup.fault.plantUnknown' },
  laboratory: { missing: 'setup.fault.laboratoryMissing', unknown: 'setup.fault.laboratoryUnknown' },
} as const

/** Reads the role of a CSV line: null if the line has none, a message if it is wrong. */
export function parseRole(role: string, place: string, register: RegisterDocument): Role | Message | null {
  const name = role.toLowerCase()
  if (name === '') return place === '' ? null : message('setup.fault.roleMissing', { place })
  const known = ROLE_NAMES.find((one) => one === name)
  if (!known) return message('setup.fault.roleUnknown', { role, roles: ROLE_NAMES.join(', ') })
  const { placeKind } = ROLES[known]
  if (placeKind === null)
    return place === '' ? { role: known, place } : message('setup.fault.placeSurplus', { role: known })
  if (place === '') return message(PLACE_FAULTS[placeKind].missing)
  return register[PLACE_LISTS[placeKind]].some(({ code }) => code === place)
    ? { role: known, place }
    : message(PLACE_FAULTS[placeKind].unknown, { code: place })
}

/** The zone of the first plant or laboratory among the roles. */
export function findPlaceZone(roles: readonly Role[], register: RegisterDocument): string | undefined {
  for (const { role, place } of roles) {
    const { placeKind } = ROLES[role]
    if (placeKind !== null) return register[PLACE_LISTS[placeKind]].find(({ code }) => code === place)?.zone
  }
  return undefined
}
