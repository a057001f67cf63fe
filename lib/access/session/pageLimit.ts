import { getEnvironment } from '@/lib/store/environment'
import { getClient } from './actor'
import { findAuthSession } from './currentUser'
import { getRateLimits } from './rateLimits'

/** The pages on which one signs in, as a request names them. */
const SIGN_IN_PAGE = /^\/sign-in(\/(code|link))?(\?|$)/

/**
 * Counts a request for a page, or for a sign-in mail: of the person who is signed in, together with their requests for
 * data, or else of the client. Returns the seconds to wait if the limit is exceeded, else 0. Pages of signing in are not
 * counted for a client, or one that asks for very many would lock out all who share its address; turns bound a flood.
 */
export async function countPage(headers: Headers, path: string): Promise<number> {
  const session = await findAuthSession(headers)
  if (!session && SIGN_IN_PAGE.test(path)) return 0
  const who = session ? `person ${session.user.id}` : `client ${getClient({ headers })}`
  return getRateLimits(getEnvironment().requestsPerMinute).count(who)
}
