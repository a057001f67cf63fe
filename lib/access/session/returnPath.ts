import type { Roles } from '@/lib/policy/principal'
import { mayAccess } from '@/lib/policy/routes'

/** The header in which our web server puts the path of a request. */
export const PATH_HEADER = 'x-holdfast-path'

const MAX_LENGTH = 500

/**
 * The local path to return to after sign-in; null for another site, for anything a browser might read as one, and for
 * the home page.
 */
export function parseReturnPath(given: string | null | undefined): string | null {
  if (!given || given.length > MAX_LENGTH || !/^\/[^/\\]?[\x21-\x5b\x5d-\x7e]*$/.test(given)) return null
  const url = new URL(given, 'http://here.invalid')
  if (url.host !== 'here.invalid' || /^\/(api|sign-in)\b/.test(url.pathname)) return null
  // Next adds this parameter when it fetches parts of a page.
  url.searchParams.delete('_rsc')
  const path = `${url.pathname}${url.search}`
  return path === '/' || path.startsWith('//') ? null : path
}

/**
 * The faults that the sign-in page explains: no e-mail address was given, the link no longer works, or the passkey was
 * refused.
 */
export const SIGN_IN_FAULTS = ['address', 'link', 'passkey'] as const
export type SignInFault = (typeof SIGN_IN_FAULTS)[number]

/** The path of the sign-in page, which returns to `given` afterwards. */
export function buildSignInPath(given: string | null, wrong?: SignInFault): string {
  const path = parseReturnPath(given)
  const query = new URLSearchParams({ ...(path ? { to: path } : {}), ...(wrong ? { wrong } : {}) })
  return query.size > 0 ? `/sign-in?${query}` : '/sign-in'
}

/** The page on which a person starts: the board, else the figures, else their own page. */
export function getHomePath(roles: Roles): string {
  const person = { kind: 'person' as const, id: '', email: '', name: '', roles }
  if (mayAccess('page /', person)) return '/'
  return mayAccess('page /figures', person) ? '/figures' : '/me'
}
