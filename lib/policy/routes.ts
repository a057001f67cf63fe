import {
  HAS_LABORATORIES,
  HAS_PLANTS,
  hasRole,
  ROLE_NAMES,
  type RoleName,
  SEES_FIGURES,
  SEES_SAMPLES,
} from './personRoles'
import type { Person, Principal } from './principal'

/**
 * What a principal can be, for the purpose of asking. `anyone` need not be signed in; `person` is whoever is, also
 * before being given a role.
 */
export type Part = 'anyone' | 'person' | RoleName | 'key'

const SIGNED_IN: readonly Part[] = ['person']
const ADMINISTRATOR: readonly Part[] = ['administrator']

/**
 * Who may ask for each page and each method of each route; which rows they see then is a matter of their scope. A
 * test fails for a page or route that is not here, so that a new one is nobody's until someone says whose.
 */
export const ROUTES = {
  'page /': SEES_SAMPLES,
  'page /plants/[code]': SEES_SAMPLES,
  'page /plants/[code]/history': SEES_SAMPLES,
  'page /samples/[code]': SEES_SAMPLES,
  'page /lanes': ROLE_NAMES,
  'page /lanes/[plant]/[laboratory]/[service]': SEES_SAMPLES,
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
  'page /figures': SEES_FIGURES,
  'page /lanes/score': SEES_FIGURES,
  'GET /api/audit': ADMINISTRATOR,
  'page /arrivals': HAS_LABORATORIES,
  'page /receiving': HAS_LABORATORIES,
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
  'GET /api/board': SEES_SAMPLES,
  'GET /api/plants/[code]': SEES_SAMPLES,
  'GET /api/plants/[code]/history': SEES_SAMPLES,
  'GET /api/digest/stop': ['anyone'],
  'POST /api/digest/stop': ['anyone'],
  'POST /api/me/digest': SIGNED_IN,
  'POST /api/me/zone': SIGNED_IN,
  'page /digest': SEES_SAMPLES,
  'GET /api/digest/html': SEES_SAMPLES,
  'POST /api/digest/time': ADMINISTRATOR,
  'POST /api/digest/again': ADMINISTRATOR,
  'GET /api/calendar/[secret]': ['anyone'],
  'page /due': SEES_SAMPLES,
  'POST /api/due/snooze': SEES_SAMPLES,
  'POST /api/due/feeds': HAS_PLANTS,
  'POST /api/due/feeds/[id]/revoke': HAS_PLANTS,
  'GET /api/health': ['anyone'],
  'POST /api/health': ['anyone'],
  'POST /api/record': SEES_SAMPLES,
  'POST /api/record/undo': SEES_SAMPLES,
  'POST /api/record/move': ADMINISTRATOR,
  'POST /api/record/assign': ADMINISTRATOR,
  'POST /api/events': [...SEES_SAMPLES, 'key'],
  'GET /api/register': ADMINISTRATOR,
  'PUT /api/register': ['administrator', 'key'],
} as const satisfies Record<string, readonly Part[]>

export type RouteName = keyof typeof ROUTES

/** Everything that a principal is. */
export function partsOf(principal: Principal | null): ReadonlySet<Part> {
  const parts = new Set<Part>(['anyone'])
  if (principal === null) return parts
  if (principal.kind === 'key') return parts.add('key')
  parts.add('person')
  for (const role of ROLE_NAMES) if (hasRole(principal.roles, role)) parts.add(role)
  return parts
}

/** Whether a principal (null: nobody is signed in) may ask for a page or route. */
export function mayAsk(route: RouteName, principal: Principal | null): boolean {
  const parts = partsOf(principal)
  return (ROUTES[route] as readonly Part[]).some((part) => parts.has(part))
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
export function pagesOf(person: Person): { href: string; name: string }[] {
  return PAGES.filter(({ route }) => mayAsk(route, person)).map(({ href, name }) => ({ href, name }))
}
