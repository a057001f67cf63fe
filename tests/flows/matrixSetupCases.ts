import type { RouteName } from '@/lib/policy/routes'
import { BOTH_FOUND, type Case, PLANT } from './matrixObjects'

const emptyTo = (path: string, status: number): Case => ({ path: () => path, body: () => ({}), status })

/** The same for the pages and routes by which a programme is set up, a person signs in, and sees to their own sessions. */
export const SETUP_CASES: Partial<Record<RouteName, Case>> = {
  'page /setup/[list]': { path: () => '/setup/plants', status: 200 },
  'page /setup/[list]/[code]': { path: (object) => `/setup/plants/${PLANT[object]}`, status: BOTH_FOUND },
  'page /setup/add/[list]': { path: () => '/setup/add/plants', status: 200 },
  'page /setup/changes/[id]': { path: () => '/setup/changes/none', status: 200 },
  'page /setup/csv/[list]': { path: () => '/setup/csv/plants', status: 200 },
  'page /setup/people/[id]': { path: () => '/setup/people/none', status: 404 },
  'GET /api/setup/csv': { path: () => '/api/setup/csv?list=plants', status: 200 },
  'POST /api/setup/entries': emptyTo('/api/setup/entries', 400),
  'POST /api/setup/changes': emptyTo('/api/setup/changes', 400),
  'POST /api/setup/kits': emptyTo('/api/setup/kits', 400),
  'POST /api/setup/csv': emptyTo('/api/setup/csv', 400),
  'page /setup/people/changes/[id]': { path: () => '/setup/people/changes/none', status: 200 },
  'POST /api/setup/people/csv': emptyTo('/api/setup/people/csv', 400),
  'POST /api/setup/people/changes': emptyTo('/api/setup/people/changes', 400),
  'POST /api/setup/office': emptyTo('/api/setup/office', 400),
  'POST /api/setup/people': emptyTo('/api/setup/people', 400),
  // These take forms only.
  'POST /api/setup/people/sessions': emptyTo('/api/setup/people/sessions', 415),
  'POST /api/setup/people/mailbox': emptyTo('/api/setup/people/mailbox', 415),
  'POST /api/me/sessions': emptyTo('/api/me/sessions', 415),
  'POST /api/me/passkeys': emptyTo('/api/me/passkeys', 415),
  'POST /api/sign-in': emptyTo('/api/sign-in', 415),
  'POST /api/sign-in/link': emptyTo('/api/sign-in/link', 415),
  'POST /api/sign-in/code': emptyTo('/api/sign-in/code', 415),
  // Nothing is filled in, so it leads back to the form.
  'POST /api/keys': emptyTo('/api/keys', 303),
  'POST /api/keys/[id]/revoke': emptyTo('/api/keys/none/revoke', 303),
  'GET /api/passkey/[step]': { path: () => '/api/passkey/none', status: 404 },
  'POST /api/passkey/[step]': emptyTo('/api/passkey/none', 404),
}
