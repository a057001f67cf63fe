import { getEnvironment } from '@/lib/store/environment'
import { getClient } from './actor'
import { findAuthSession } from './currentUser'
import { getRateLimits } from './rateLimits'

/**
 * Counts a request for a page, or for another thing that anyone may ask for: of the person who is signed in, together with their requests for data, or else of the
 * client. Returns the seconds to wait if the limit is exceeded, else 0.
 */
export async function countPage(headers: Headers): Promise<number> {
  const session = await findAuthSession(headers)
  const who = session ? `person ${session.user.id}` : `client ${getClient({ headers })}`
  return getRateLimits(getEnvironment().requestsPerMinute).count(who)
}
