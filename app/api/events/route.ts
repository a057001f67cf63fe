import { toActor } from '@/lib/access/session/actor'
import type { ReadEvent } from '@/lib/custody/event'
import type { Register } from '@/lib/custody/register'
import { buildAnswer } from '@/lib/intake/answers/answer'
import { jsonReply, problemReply } from '@/lib/intake/answers/reply'
import { type BodyFormat, detectFormat, MAX_ITEMS, TooManyItems } from '@/lib/intake/formats/body'
import { problem } from '@/lib/intake/formats/problem'
import { readBody } from '@/lib/intake/formats/readBody'
import { type IntakeItem, readEvents, refuseItem } from '@/lib/intake/formats/readEvents'
import type { Principal } from '@/lib/policy/principal'
import { findReportingFault, getReporter, isReportedAtTrusted, mayKnowPlant } from '@/lib/policy/reporting'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../authorize'
import { withErrorHandling } from '../withErrorHandling'

/** One line for each body. The ledger names the reporter of each event. */
function toAuditLines(accepted: readonly ReadEvent[]) {
  const [only] = accepted
  const subject = accepted.length === 1 ? (only?.sample ?? null) : null
  const sources = [...new Set(accepted.map(({ source }) => source))].sort().slice(0, MAX_SOURCES)
  return [{ what: 'reported events', subject, after: { accepted: accepted.length, sources } }]
}

const MAX_SOURCES = 10

/**
 * Accepts one event, an array, NDJSON or CSV, and answers a row for each item. Refused items do not affect the
 * others: 200 with rows, 422 only if all are refused. Accepted events are on disk before the answer.
 */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/events', request)
  if (principal instanceof Response) return principal
  const format = detectFormat(request.headers.get('content-type'))
  if (!format)
    return problemReply(
      problem(
        'content-type',
        415,
        'Unsupported content type',
        'Send events as application/json, application/x-ndjson or text/csv, and name the type in Content-Type.',
      ),
    )
  const body = await readBody(request)
  if (typeof body !== 'string') return problemReply(body)
  try {
    const results = await acceptEvents(
      getAppPool(),
      (register) => readPermittedEvents(principal, body, format, register),
      getReporter(principal),
      Date.now(),
      { actor: toActor(principal, request), lines: toAuditLines },
    )
    const answer = buildAnswer(results)
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

const HISTORY_NOT_ALLOWED =
  '`reportedAt` was ignored, because only a key that may import history can set it. The time of receipt counts.'

/**
 * Reads a body of events within the rights of its reporter: events that it may not report are refused one by one, and
 * a plant that it may not know has no zone.
 */
function readPermittedEvents(
  principal: Principal,
  text: string,
  format: BodyFormat,
  register: Register,
): IntakeItem[] {
  const getZone = (code: string | null) =>
    code !== null && (register.laboratories.has(code) || mayKnowPlant(principal, code))
      ? register.getZone(code)
      : null
  return readEvents(text, format, getZone, MAX_ITEMS).map((item) => {
    if (item.event === null) return item
    const fault = findReportingFault(principal, item.event)
    if (fault) return refuseItem(item, [fault])
    if (item.event.reportedAt === null || isReportedAtTrusted(principal)) return item
    return { ...item, event: { ...item.event, reportedAt: null }, note: HISTORY_NOT_ALLOWED }
  })
}
