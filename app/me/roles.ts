import type { Translate } from '@/lib/messages/translate'
import { LISTED_ROLES, listRoles, ROLES, type RoleName, type Roles } from '@/lib/policy/personRoles'

const SENTENCES: Record<RoleName, (t: Translate, places: readonly string[]) => string> = {
  administrator: (t) => t('account.role.administrator'),
  reader: (t) => t('account.role.reader'),
  'plant contact': (t, places) =>
    t('account.role.plantContact', { count: places.length, places: t.list(places) }),
  'laboratory desk': (t, places) =>
    t('account.role.laboratoryDesk', { count: places.length, places: t.list(places) }),
}

/** A person's roles, a sentence each: "You are an administrator. You are the contact of plant OMB1." */
export function describeRoles(t: Translate, roles: Roles): string {
  const sentences = LISTED_ROLES.flatMap((role) => {
    const places = ROLES[role].getPlaces(roles)
    return places.length === 0 ? [] : SENTENCES[role](t, places)
  })
  return sentences.length === 0 ? t('account.role.none') : sentences.join(' ')
}

/** Whether a person has no role yet, and so sees nothing of the programme. */
export function hasNoRole(roles: Roles): boolean {
  return listRoles(roles).length === 0
}
