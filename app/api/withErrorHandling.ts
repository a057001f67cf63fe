import { unstable_rethrow } from 'next/navigation'
import { endPrincipalTurn } from '@/lib/access/session/principalTurns'
import { problemReply } from '@/lib/intake/answers/reply'
import { type Problem, problem } from '@/lib/intake/formats/problem'
import { type DatabaseFault, findDatabaseFault, isBusy, isUnstorable } from '@/lib/store/scope/unavailable'
import { getLog } from '@/lib/telemetry/log'
import { getRequestContext } from '@/lib/telemetry/requestContext'

/**
 * Wraps a route handler and maps any error to an RFC 9457 response: 400 for a text that no database can store, 503 if the
 * database cannot serve or others were in the way for too long, else 500. The error itself goes to the server's log only; the
 * response names the request (`requestId`), by which the log can be searched. Ends the turn of the principal.
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
      const fault = findDatabaseFault(error)
      const { message, stack } = error instanceof Error ? error : new Error(String(error))
      // Where the database is at fault, the place in our code says nothing.
      getLog().error({ error: message, ...(fault === null ? { stack } : {}) }, message)
      return fault === null ? problemReply(nameRequest(FAILED)) : retryLaterReply(DATABASE_PROBLEMS[fault])
    } finally {
      endPrincipalTurn()
    }
  }
}

/** When to send a refused request again, s: as long as a large body takes. */
export const RETRY_AFTER_SECONDS = 10

function retryLaterReply(what: Problem): Response {
  const reply = problemReply(nameRequest(what))
  reply.headers.set('retry-after', String(RETRY_AFTER_SECONDS))
  return reply
}

const BUSY = problem(
  'busy',
  503,
  'Busy',
  `Others are writing, or the database is locked. Nothing was stored. Send the same request again in ${RETRY_AFTER_SECONDS} s.`,
)

/** The same problem with the id of this request, which a person can quote. */
function nameRequest(found: Problem): Problem {
  const id = getRequestContext()?.id
  return id === undefined ? found : { ...found, requestId: id }
}

const AGAIN = 'Send the same request again later: what was stored comes back as already known.'

const DATABASE_PROBLEMS: Record<DatabaseFault, Problem> = {
  unreachable: problem(
    'database-unavailable',
    503,
    'Database unreachable',
    `The database does not answer. ${AGAIN}`,
  ),
  missing: problem('database-missing', 503, 'Database missing', `The database is not there. ${AGAIN}`),
  crowded: problem(
    'database-crowded',
    503,
    'Database out of connections',
    `All connections of the database are in use. ${AGAIN}`,
  ),
  'read-only': problem(
    'database-read-only',
    503,
    'Database read-only',
    `The database does not accept changes at present. Nothing was stored. ${AGAIN}`,
  ),
  full: problem(
    'database-full',
    503,
    'Database full',
    `The disk of the database is full. Nothing was stored. ${AGAIN}`,
  ),
}

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
