import type { Translate } from '@/lib/messages/translate'
import { hasRole, ROLE_NAMES, ROLES, type RoleName, type Roles } from '@/lib/policy/personRoles'

const ROLE_TEXTS: Record<RoleName, (t: Translate, places: string) => string> = {
  administrator: (t) => t('setup.roles.administrator'),
  reader: (t) => t('setup.roles.reader'),
  'plant contact': (t, places) => t('setup.roles.plantContact', { places }),
  'laboratory desk': (t, places) => t('setup.roles.laboratoryDesk', { places }),
}

/** "administrator; contact of PL1 and PL2", or that there is no role. */
export function describeRoles(t: Translate, roles: Roles): string {
  const texts = ROLE_NAMES.filter((role) => hasRole(roles, role)).map((role) =>
    ROLE_TEXTS[role](t, t.list(ROLES[role].getPlaces(roles))),
  )
  return texts.length === 0 ? t('setup.roles.none') : texts.join('; ')
}
