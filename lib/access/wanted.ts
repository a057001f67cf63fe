import type { Person } from './principal'
import { mayAsk } from './routes'

/** The header in which our web server puts the path that a request names. */
export const PATH_HEADER = 'x-holdfast-path'

const LONGEST = 500

/**
 * A path of this site to go on to after signing in, or null: another site's address, or what a browser could take for
 * one, is none.
 */
export function wantedPath(given: string | null | undefined): string | null {
  if (!given || given.length > LONGEST || !/^\/[^/\\]?[\x21-\x5b\x5d-\x7e]*$/.test(given)) return null
  const url = new URL(given, 'http://here.invalid')
  if (url.host !== 'here.invalid' || /^\/(api|sign-in)\b/.test(url.pathname)) return null
  // Pages fetch parts of themselves under this name.
  url.searchParams.delete('_rsc')
  const path = `${url.pathname}${url.search}`
  return path === '/' || path.startsWith('//') ? null : path
}

/** The address of the sign-in for someone who wanted a path. */
export function signInAddress(given: string | null): string {
  const path = wantedPath(given)
  return path ? `/sign-in?to=${encodeURIComponent(path)}` : '/sign-in'
}

/** Where a person begins: the board, or their own page where the board is not theirs. */
export function homeOf(person: Person): string {
  return mayAsk('page /', person) ? '/' : '/me'
}
