import { unstable_rethrow } from 'next/navigation'
import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import { isUnavailable, isUnstorable } from '@/lib/store/scope/unavailable'

/**
 * A route that answers a problem report whatever fails in it: 400 where a text that was sent can
 * be in no database, 503 where the database cannot be reached, else 500. What
 * failed goes to the server's own log and not to the asker.
 */
export function withErrorHandling<Rest extends unknown[]>(
  route: (request: Request, ...rest: Rest) => Promise<Response>,
): (request: Request, ...rest: Rest) => Promise<Response> {
  return async (request, ...rest) => {
    try {
      return await route(request, ...rest)
    } catch (error) {
      unstable_rethrow(error)
      if (isUnstorable(error)) return problemReply(UNSTORABLE)
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

const UNSTORABLE = problem(
  'unstorable-text',
  400,
  'Text that cannot be kept',
  'A text holds the character U+0000. Take it out and send the rest again; nothing of it was kept.',
)

const FAILED = problem(
  'failure',
  500,
  'Something failed here',
  'This server met a fault of its own; its log says which. Sending the same again does no harm.',
)
