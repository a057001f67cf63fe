import type { Translate } from '@/lib/messages/translate'
import {
  FIGURE_ROLES,
  hasRole,
  LABORATORY_ROLES,
  PLANT_ROLES,
  ROLE_NAMES,
  type RoleName,
  SAMPLE_ROLES,
} from './personRoles'
import type { Person, Principal } from './principal'

/**
 * What a principal can be, for the purpose of asking. `anyone` need not be signed in; `person` is whoever is, also
 * before being given a role.
 */
export type Audience = 'anyone' | 'person' | RoleName | 'key'

const SIGNED_IN: readonly Audience[] = ['person']
const ADMINISTRATOR: readonly Audience[] = ['administrator']

/**
 * Who may ask for each page and each method of each route; which rows they see then is a matter of their scope. A
 * test fails for a page or route that is not here, so that a new one is nobody's until someone says whose.
 */
export const ROUTES = {
  'page /': SAMPLE_ROLES,
  'page /plants/[code]': SAMPLE_ROLES,
  'page /plants/[code]/history': SAMPLE_ROLES,
  'page /samples/[code]': SAMPLE_ROLES,
  'page /lanes': ROLE_NAMES,
  'page /lanes/[plant]/[laboratory]/[service]': SAMPLE_ROLES,
  'page /unplaced': ADMINISTRATOR,
  'page /sign-in': ['anyone'],
  'page /sign-in/link': ['anyone'],
  'page /sign-in/code': ['anyone'],
  'page /me': SIGNED_IN,
  'POST /api/sign-in': ['anyone'],
  'POST /api/sign-in/link': ['anyone'],
  'POST /api/sign-in/code': ['anyone'],
  'POST /api/sign-in/role': ['anyone'],
  'POST /api/sign-out': ['anyone'],
  'page /audit': ADMINISTRATOR,
  'page /figures': FIGURE_ROLES,
  'page /lanes/score': FIGURE_ROLES,
  'GET /api/audit': ADMINISTRATOR,
  'page /arrivals': LABORATORY_ROLES,
  'page /receiving': LABORATORY_ROLES,
  'page /setup': ADMINISTRATOR,
  'page /setup/[list]': ADMINISTRATOR,
  'page /setup/[list]/[code]': ADMINISTRATOR,
  'page /setup/add/[list]': ADMINISTRATOR,
  'page /setup/changes/[id]': ADMINISTRATOR,
  'page /setup/csv/[list]': ADMINISTRATOR,
  'page /setup/csv/people': ADMINISTRATOR,
  'page /setup/labels': ADMINISTRATOR,
  'page /setup/office': ADMINISTRATOR,
  'page /setup/people': ADMINISTRATOR,
  'page /setup/people/[id]': ADMINISTRATOR,
  'page /setup/people/changes/[id]': ADMINISTRATOR,
  'POST /api/setup/entries': ADMINISTRATOR,
  'POST /api/setup/changes': ADMINISTRATOR,
  'POST /api/setup/kits': ADMINISTRATOR,
  'POST /api/setup/csv': ADMINISTRATOR,
  'GET /api/setup/csv': ADMINISTRATOR,
  'GET /api/setup/due': ADMINISTRATOR,
  'POST /api/setup/office': ADMINISTRATOR,
  'POST /api/setup/people': ADMINISTRATOR,
  'POST /api/setup/people/sessions': ADMINISTRATOR,
  'POST /api/setup/people/mailbox': ADMINISTRATOR,
  'POST /api/setup/people/csv': ADMINISTRATOR,
  'GET /api/setup/people/csv': ADMINISTRATOR,
  'POST /api/setup/people/changes': ADMINISTRATOR,
  'GET /api/passkey/[step]': ['anyone'],
  'POST /api/passkey/[step]': ['anyone'],
  'POST /api/me/sessions': SIGNED_IN,
  'POST /api/me/passkeys': SIGNED_IN,
  'page /keys': ADMINISTRATOR,
  'page /keys/new': ADMINISTRATOR,
  'POST /api/keys': ADMINISTRATOR,
  'POST /api/keys/[id]/revoke': ADMINISTRATOR,
  'GET /api/board': SAMPLE_ROLES,
  'GET /api/plants/[code]': SAMPLE_ROLES,
  'GET /api/plants/[code]/history': SAMPLE_ROLES,
  'GET /api/digest/stop': ['anyone'],
  'POST /api/digest/stop': ['anyone'],
  'POST /api/me/digest': SIGNED_IN,
  'POST /api/me/zone': SIGNED_IN,
  'page /digest': SAMPLE_ROLES,
  'GET /api/digest/html': SAMPLE_ROLES,
  'POST /api/digest/time': ADMINISTRATOR,
  'POST /api/digest/again': ADMINISTRATOR,
  'GET /api/calendar/[secret]': ['anyone'],
  'page /due': SAMPLE_ROLES,
  'POST /api/due/snooze': SAMPLE_ROLES,
  'POST /api/due/feeds': PLANT_ROLES,
  'POST /api/due/feeds/[id]/revoke': PLANT_ROLES,
  'GET /api/health': ['anyone'],
  'POST /api/health': ['anyone'],
  'POST /api/record': SAMPLE_ROLES,
  'POST /api/record/undo': SAMPLE_ROLES,
  'POST /api/record/move': ADMINISTRATOR,
  'POST /api/record/assign': ADMINISTRATOR,
  'POST /api/events': [...SAMPLE_ROLES, 'key'],
  'GET /api/register': ADMINISTRATOR,
  'PUT /api/register': ['administrator', 'key'],
} as const satisfies Record<string, readonly Audience[]>

export type RouteName = keyof typeof ROUTES

/** Everything that a principal is. */
export function listAudiences(principal: Principal | null): ReadonlySet<Audience> {
  const parts = new Set<Audience>(['anyone'])
  if (principal === null) return parts
  if (principal.kind === 'key') return parts.add('key')
  parts.add('person')
  for (const role of ROLE_NAMES) if (hasRole(principal.roles, role)) parts.add(role)
  return parts
}

/** Whether a principal (null: nobody is signed in) may ask for a page or route. */
export function mayAccess(route: RouteName, principal: Principal | null): boolean {
  const parts = listAudiences(principal)
  return (ROUTES[route] as readonly Audience[]).some((part) => parts.has(part))
}

const PAGES: { href: string; name: string; route: RouteName }[] = [
  { href: '/', name: 'Board', route: 'page /' },
  { href: '/due', name: 'Due', route: 'page /due' },
  { href: '/arrivals', name: 'Arrivals', route: 'page /arrivals' },
  { href: '/receiving', name: 'Receiving', route: 'page /receiving' },
  { href: '/lanes', name: 'Lanes', route: 'page /lanes' },
  { href: '/figures', name: 'Figures', route: 'page /figures' },
  { href: '/digest', name: 'Weekly mail', route: 'page /digest' },
  { href: '/unplaced', name: 'Unplaced events', route: 'page /unplaced' },
  { href: '/setup', name: 'Set-up', route: 'page /setup' },
  { href: '/keys', name: 'Keys', route: 'page /keys' },
  { href: '/audit', name: 'Who did what', route: 'page /audit' },
]

/** The pages in the site's head that are a person's to ask for. */
export function listPages(t: Translate, person: Person): { href: string; name: string }[] {
  return PAGES.filter(({ route }) => mayAccess(route, person)).map(({ href, name }) => ({ href, name }))
}
