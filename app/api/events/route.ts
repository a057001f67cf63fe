import { actorOf } from '@/lib/access/session/actor'
import type { ReadEvent } from '@/lib/custody/event'
import type { Register } from '@/lib/custody/register'
import { answerTo } from '@/lib/intake/answers/answer'
import { jsonReply, problemReply } from '@/lib/intake/answers/reply'
import { type BodyFormat, formatOf, MOST_ITEMS, TooManyItems } from '@/lib/intake/formats/body'
import { problem } from '@/lib/intake/formats/problem'
import { readBody } from '@/lib/intake/formats/readBody'
import { type IntakeItem, readEvents, refusedItem } from '@/lib/intake/formats/readEvents'
import type { Principal } from '@/lib/policy/principal'
import { isHistoryBelieved, mayKnowPlant, reportingFault, reportingOf } from '@/lib/policy/reporting'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../answering'
import { asked } from '../asked'

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

const NOT_BELIEVED =
  '`reportedAt` was left out: it is taken only from a key that may import history. The time of receipt here counts.'

/**
 * Reads a body of events as its reporter may send them: what it may not report is refused item by item, and the zone
 * of a plant that it may not know of is as that of none.
 */
function readEventsOf(
  principal: Principal,
  text: string,
  format: BodyFormat,
  register: Register,
): IntakeItem[] {
  const zoneOf = (code: string | null) =>
    code !== null && (register.laboratories.has(code) || mayKnowPlant(principal, code))
      ? register.zoneOfPlace(code)
      : null
  return readEvents(text, format, zoneOf, MOST_ITEMS).map((item) => {
    if (item.event === null) return item
    const fault = reportingFault(principal, item.event)
    if (fault) return refusedItem(item, [fault])
    if (item.event.reportedAt === null || isHistoryBelieved(principal)) return item
    return { ...item, event: { ...item.event, reportedAt: null }, note: NOT_BELIEVED }
  })
}
