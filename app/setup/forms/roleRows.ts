import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { PLACE_LISTS, ROLE_NAMES, ROLES, type Role } from '@/lib/policy/personRoles'

/** What can be written as a role: "administrator, reader or …". */
export const ROLE_CHOICES = `${ROLE_NAMES.slice(0, -1).join(', ')} or ${ROLE_NAMES.at(-1)}`

/** The role of a line: null where it says none, a sentence where it is none that can be. */
export function roleRowOf(role: string, place: string, register: RegisterDocument): Role | string | null {
  const said = role.toLowerCase()
  if (said === '') return place === '' ? null : `role: Write what the person is at ${place}.`
  const known = ROLE_NAMES.find((one) => one === said)
  if (!known) return `role: "${role}" is none; write ${ROLE_CHOICES}.`
  const { of } = ROLES[known]
  if (of === null)
    return place === '' ? { role: known, place } : `place: The role of ${said} has none; leave it empty.`
  if (place === '') return `place: Write the code of the ${of}.`
  return register[PLACE_LISTS[of]].some(({ code }) => code === place)
    ? { role: known, place }
    : `place: No ${of} of the register has the code "${place}".`
}

/** The zone of the first plant or laboratory that lines name. */
export function zoneOfPlace(roles: readonly Role[], register: RegisterDocument): string | undefined {
  for (const { role, place } of roles) {
    const { of } = ROLES[role]
    if (of !== null) return register[PLACE_LISTS[of]].find(({ code }) => code === place)?.zone
  }
  return undefined
}
