import { listed } from '@/app/ui/words/numberWords'
import { listRoles, ROLES, type Roles, TOLD_ROLES } from '@/lib/policy/personRoles'
import { capitalised } from '@/lib/schedule/firstLetter'

/** What a person is, as a sentence: "Administrator; contact of the plant OMB1." */
export function roleWords(roles: Roles): string {
  const parts = TOLD_ROLES.flatMap((role) => {
    const { of, held, inFull } = ROLES[role]
    const places = held(roles)
    if (places.length === 0) return []
    return of === null ? inFull(0) : `${inFull(places.length)} ${listed(places)}`
  })
  return parts.length === 0 ? 'Nothing in the programme yet.' : `${capitalised(parts.join('; '))}.`
}

/** Whether a person is nothing in the programme yet, and so sees nothing of it. */
export function hasNoRole(roles: Roles): boolean {
  return listRoles(roles).length === 0
}
