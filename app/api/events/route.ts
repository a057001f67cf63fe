import { actorOf } from '@/lib/access/session/actor'
import type { ReadEvent } from '@/lib/custody/event'
import { answerTo } from '@/lib/intake/answers/answer'
import { jsonReply, problemReply } from '@/lib/intake/answers/reply'
import { formatOf, TooManyItems } from '@/lib/intake/formats/body'
import { problem } from '@/lib/intake/formats/problem'
import { readBody } from '@/lib/intake/formats/readBody'
import { reportingOf } from '@/lib/policy/reporting'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../answering'
import { asked } from '../asked'
import { readEventsOf } from './readEventsOf'

/** One line for a body, however many events it brings: each names its own reporter in the ledger. */
function linesOf(accepted: readonly ReadEvent[]) {
  const [only] = accepted
  const subject = accepted.length === 1 ? (only?.sample ?? null) : null
  const sources = [...new Set(accepted.map(({ source }) => source))].sort().slice(0, MOST_SOURCES)
  return [{ what: 'reported events', subject, after: { accepted: accepted.length, sources } }]
}

const MOST_SOURCES = 10

/**
 * Takes one event, an array, NDJSON or CSV, and answers a row per item. A refused item does not sink its neighbours:
 * 200 with rows, 422 only if all are refused. What is answered as accepted is on disk.
 */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/events', request)
  if (principal instanceof Response) return principal
  const format = formatOf(request.headers.get('content-type'))
  if (!format)
    return problemReply(
      problem(
        'content-type',
        415,
        'Content type not taken',
        'Send events as application/json, application/x-ndjson or text/csv, and say which in Content-Type.',
      ),
    )
  const body = await readBody(request)
  if (typeof body !== 'string') return problemReply(body)
  try {
    const results = await acceptEvents(
      sharedPool(),
      (register) => readEventsOf(principal, body, format, register),
      reportingOf(principal),
      Date.now(),
      { actor: actorOf(principal, request), lines: linesOf },
    )
    const answer = answerTo(results)
    const isAllRefused = answer.refused > 0 && answer.refused === answer.items.length
    return jsonReply(answer, isAllRefused ? 422 : 200)
  } catch (error) {
    if (error instanceof SyntaxError)
      return problemReply(problem('unreadable-body', 400, 'Body cannot be read', error.message))
    if (error instanceof TooManyItems)
      return problemReply(problem('too-many-items', 413, 'Too many items', error.message))
    throw error
  }
})
