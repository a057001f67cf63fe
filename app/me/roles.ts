import { formatList } from '@/app/ui/words/number'
import type { Translate } from '@/lib/messages/translate'
import { LISTED_ROLES, listRoles, ROLES, type Roles } from '@/lib/policy/personRoles'
import { capitalised } from '@/lib/schedule/firstLetter'

/** What a person is, as a sentence: "Administrator; contact of the plant OMB1." */
export function describeRoles(t: Translate, roles: Roles): string {
  const parts = LISTED_ROLES.flatMap((role) => {
    const { placeKind: of, getPlaces: held, fullLabel: inFull } = ROLES[role]
    const places = held(roles)
    if (places.length === 0) return []
    return of === null ? inFull(0) : `${inFull(places.length)} ${formatList(t, places)}`
  })
  return parts.length === 0 ? 'Nothing in the programme yet.' : `${capitalised(parts.join('; '))}.`
}

/** Whether a person is nothing in the programme yet, and so sees nothing of it. */
export function hasNoRole(roles: Roles): boolean {
  return listRoles(roles).length === 0
}
