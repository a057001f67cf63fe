import type { Roles } from '@/lib/policy/principal'
import { mayAccess } from '@/lib/policy/routes'

/** The header in which our web server puts the path that a request names. */
export const PATH_HEADER = 'x-holdfast-path'

const MAX_LENGTH = 500

/**
 * A path of this site to go on to after signing in, or null: another site's address, or what a browser could take for
 * one, is none.
 */
export function parseReturnPath(given: string | null | undefined): string | null {
  if (!given || given.length > MAX_LENGTH || !/^\/[^/\\]?[\x21-\x5b\x5d-\x7e]*$/.test(given)) return null
  const url = new URL(given, 'http://here.invalid')
  if (url.host !== 'here.invalid' || /^\/(api|sign-in)\b/.test(url.pathname)) return null
  // Pages fetch parts of themselves under this name.
  url.searchParams.delete('_rsc')
  const path = `${url.pathname}${url.search}`
  return path === '/' || path.startsWith('//') ? null : path
}

/** What the sign-in page is to say was wrong: no e-mail address was given, or a link that no longer works. */
export const SIGN_IN_FAULTS = ['address', 'link', 'passkey'] as const
export type SignInFault = (typeof SIGN_IN_FAULTS)[number]

/** The address of the sign-in for someone who wanted a path. */
export function buildSignInPath(given: string | null, wrong?: SignInFault): string {
  const path = parseReturnPath(given)
  const query = new URLSearchParams({ ...(path ? { to: path } : {}), ...(wrong ? { wrong } : {}) })
  return query.size > 0 ? `/sign-in?${query}` : '/sign-in'
}

/** Where a person begins: the board, else the figures, or their own page where neither is theirs. */
export function getHomePath(roles: Roles): string {
  const person = { kind: 'person' as const, id: '', email: '', name: '', roles }
  if (mayAccess('page /', person)) return '/'
  return mayAccess('page /figures', person) ? '/figures' : '/me'
}
