import { unstable_rethrow } from 'next/navigation'
import { problemReply } from '@/lib/intake/answers/reply'
import { type Problem, problem } from '@/lib/intake/formats/problem'
import { isBusy, isUnavailable, isUnstorable } from '@/lib/store/scope/unavailable'

/**
 * Wraps a route handler and maps any error to an RFC 9457 response: 400 for a text that no database can store, 503 if
 * the database is unreachable or others were in the way for too long, else 500. The error itself goes to the server's log
 * only.
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
      if (isBusy(error)) return retryLaterReply(BUSY)
      console.error(error)
      return isUnavailable(error) ? retryLaterReply(UNAVAILABLE) : problemReply(FAILED)
    }
  }
}

/** When to send a refused request again, s: as long as a large body takes. */
const RETRY_AFTER_SECONDS = 10

function retryLaterReply(what: Problem): Response {
  const reply = problemReply(what)
  reply.headers.set('retry-after', String(RETRY_AFTER_SECONDS))
  return reply
}

const BUSY = problem(
  'busy',
  503,
  'Busy',
  `Others are writing, or the database is locked. Nothing was stored. Send the same request again in ${RETRY_AFTER_SECONDS} s.`,
)

const UNAVAILABLE = problem(
  'database-unavailable',
  503,
  'Database unreachable',
  'The database does not answer. Send the same request again later: what was stored comes back as already known.',
)

const UNSTORABLE = problem(
  'unstorable-text',
  400,
  'Text that cannot be stored',
  'A text holds the character U+0000. Remove it and send the request again. Nothing was stored.',
)

const FAILED = problem(
  'failure',
  500,
  'Server error',
  'The server failed; its log has the details. It is safe to send the request again.',
)
