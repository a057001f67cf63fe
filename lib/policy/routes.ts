import type { MessageKey } from '@/lib/messages/message'
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

/** Whom a page or route is for. `anyone` need not be signed in; `person` is anyone signed in, with a role or without. */
export type Audience = 'anyone' | 'person' | RoleName | 'key'

const SIGNED_IN: readonly Audience[] = ['person']
const ADMINISTRATOR: readonly Audience[] = ['administrator']

/**
 * Permissions: who may request each page and each method of each route. Their scope decides which rows they see. A test fails for a
 * page or route that is missing here.
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
  'GET /api/ready': ['anyone'],
  'GET /api/metrics': ADMINISTRATOR,
  'page /server': ADMINISTRATOR,
  'POST /api/record': SAMPLE_ROLES,
  'POST /api/record/undo': SAMPLE_ROLES,
  'POST /api/record/move': SAMPLE_ROLES,
  'POST /api/record/assign': ADMINISTRATOR,
  'POST /api/events': [...SAMPLE_ROLES, 'key'],
  'GET /api/register': ADMINISTRATOR,
  'PUT /api/register': ['administrator', 'key'],
} as const satisfies Record<string, readonly Audience[]>

export type RouteName = keyof typeof ROUTES

/** Every audience that a principal belongs to. */
export function listAudiences(principal: Principal | null): ReadonlySet<Audience> {
  const audiences = new Set<Audience>(['anyone'])
  if (principal === null) return audiences
  if (principal.kind === 'key') return audiences.add('key')
  audiences.add('person')
  for (const role of ROLE_NAMES) if (hasRole(principal.roles, role)) audiences.add(role)
  return audiences
}

/** Whether a principal (null: nobody is signed in) may request a page or route. */
export function mayAccess(route: RouteName, principal: Principal | null): boolean {
  const audiences = listAudiences(principal)
  return (ROUTES[route] as readonly Audience[]).some((audience) => audiences.has(audience))
}

const PAGES: { href: string; name: Extract<MessageKey, `nav.${string}`>; route: RouteName }[] = [
  { href: '/', name: 'nav.board', route: 'page /' },
  { href: '/due', name: 'nav.due', route: 'page /due' },
  { href: '/arrivals', name: 'nav.arrivals', route: 'page /arrivals' },
  { href: '/receiving', name: 'nav.receiving', route: 'page /receiving' },
  { href: '/lanes', name: 'nav.lanes', route: 'page /lanes' },
  { href: '/figures', name: 'nav.figures', route: 'page /figures' },
  { href: '/digest', name: 'nav.digest', route: 'page /digest' },
  { href: '/unplaced', name: 'nav.unplaced', route: 'page /unplaced' },
  { href: '/setup', name: 'nav.setup', route: 'page /setup' },
  { href: '/keys', name: 'nav.keys', route: 'page /keys' },
  { href: '/audit', name: 'nav.audit', route: 'page /audit' },
  { href: '/server', name: 'nav.server', route: 'page /server' },
]

/** The pages of the menu that a person may open. */
export function listPages(t: Translate, person: Person): { href: string; name: string }[] {
  return PAGES.filter(({ route }) => mayAccess(route, person)).map(({ href, name }) => ({
    href,
    name: t(name),
  }))
}
