import { toActor } from '@/lib/access/session/actor'
import { consignmentKey, type ReadEvent } from '@/lib/custody/event'
import type { Register } from '@/lib/custody/register'
import { countResults, encodeAnswer } from '@/lib/intake/answers/answer'
import { piecesReply, problemReply } from '@/lib/intake/answers/reply'
import { type BodyFormat, detectFormat } from '@/lib/intake/formats/body'
import { ITEM_LIMITS, LIMITS } from '@/lib/intake/formats/limits'
import { type FieldFault, problem } from '@/lib/intake/formats/problem'
import { type IntakeItem, readEventSteps } from '@/lib/intake/formats/readEvents'
import { message } from '@/lib/messages/message'
import type { Principal } from '@/lib/policy/principal'
import { findReportingFault, getReporter, isReportedAtTrusted, mayKnowPlant } from '@/lib/policy/reporting'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../authorize'
import { withErrorHandling } from '../withErrorHandling'
import { type IntakeCost, withIntakeBudget } from '../withIntakeBudget'

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
  return withIntakeBudget(principal, request, { maxBytes: LIMITS.eventBytes }, async (body, cost) => {
    const results = await acceptEvents(
      getAppPool(),
      (register) => readPermittedEvents(principal, body, format, register, cost),
      getReporter(principal),
      Date.now(),
      { audit: { actor: toActor(principal, request), lines: toAuditLines }, slices: cost.slices },
    )
    const { refused } = countResults(results)
    const isAllRefused = refused > 0 && refused === results.length
    return piecesReply(await cost.slices.collect(encodeAnswer(results)), isAllRefused ? 422 : 200)
  })
})

/**
 * Events of one consignment in one body. Each counts for every sample of the consignment, so that many of many would be
 * more than the memory holds.
 */
const MAX_OF_CONSIGNMENT = 100

/** Finds why the next event of a body is refused, beside its own faults. */
function createFaultFinder(principal: Principal): (event: ReadEvent) => FieldFault | null {
  const counts = new Map<string, number>()
  return (event) => {
    const key = event.sample === null ? consignmentKey(event) : null
    const count = key === null ? 0 : (counts.get(key) ?? 0) + 1
    if (key !== null) counts.set(key, count)
    if (count <= MAX_OF_CONSIGNMENT) return findReportingFault(principal, event)
    return {
      pointer: '/waybill',
      detail: message('intake.manyOfConsignment', { max: MAX_OF_CONSIGNMENT }),
      right: message('intake.fix.manyOfConsignment'),
    }
  }
}

const HISTORY_NOT_ALLOWED =
  '`reportedAt` was ignored, because only a key that may import history can set it. The time of receipt counts.'

/**
 * Reads a body of events within the rights of its reporter: events that it may not report are refused one by one, and
 * a plant that it may not know has no zone. Counts the items. Null: nothing yet.
 */
function* readPermittedEvents(
  principal: Principal,
  text: string,
  format: BodyFormat,
  register: Register,
  cost: IntakeCost,
): Generator<IntakeItem | null> {
  const getZone = (code: string | null) =>
    code !== null && (register.laboratories.has(code) || mayKnowPlant(principal, code))
      ? register.getZone(code)
      : null
  const items = readEventSteps(text, format, getZone, {
    limits: ITEM_LIMITS,
    fullRefusals: LIMITS.fullRefusals,
    findFault: createFaultFinder(principal),
  })
  for (const item of items) {
    if (item !== null) cost.items += 1
    if (!item?.event || item.event.reportedAt === null || isReportedAtTrusted(principal)) yield item
    else yield { ...item, event: { ...item.event, reportedAt: null }, note: HISTORY_NOT_ALLOWED }
  }
}
