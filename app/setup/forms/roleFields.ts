import { PLACE_LISTS, ROLE_NAMES, ROLES, type Role, type RoleName } from '@/lib/policy/personRoles'

/** The name of the field of a person's form that says a role: one for each that is over all, one for each kind of place. */
export function roleField(role: RoleName): string {
  const { of } = ROLES[role]
  return of === null ? role : PLACE_LISTS[of]
}

/** The roles that a person's form says; `valuesOf` gives all values of a field. */
export function readRoleFields(valuesOf: (field: string) => readonly string[]): Role[] {
  return ROLE_NAMES.flatMap((role) => {
    const values = valuesOf(roleField(role))
    if (ROLES[role].of === null) return values.includes('yes') ? [{ role, place: '' }] : []
    return values.map((place) => ({ role, place }))
  })
}
