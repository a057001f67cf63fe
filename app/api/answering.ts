import { unstable_rethrow } from 'next/navigation'
import { problem } from '@/lib/intake/problem'
import { problemReply } from '@/lib/intake/reply'
import { isUnavailable } from '@/lib/store'

/**
 * A route that answers a problem report whatever fails in it: 503 where the database cannot be reached, else 500. What
 * failed goes to the server's own log and not to the asker.
 */
export function answering<Rest extends unknown[]>(
  route: (request: Request, ...rest: Rest) => Promise<Response>,
): (request: Request, ...rest: Rest) => Promise<Response> {
  return async (request, ...rest) => {
    try {
      return await route(request, ...rest)
    } catch (error) {
      unstable_rethrow(error)
      console.error(error)
      return problemReply(isUnavailable(error) ? UNAVAILABLE : FAILED)
    }
  }
}

const UNAVAILABLE = problem(
  'database-unavailable',
  503,
  'Database not reachable',
  'The database does not answer now. Send the same again in a while: what was kept already comes back as already known.',
)

const FAILED = problem(
  'failure',
  500,
  'Something failed here',
  'This server met a fault of its own; its log says which. Sending the same again does no harm.',
)
