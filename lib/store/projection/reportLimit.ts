import { z } from 'zod'
import { consignmentKey } from '@/lib/custody/event'
import { toCanonical } from '@/lib/custody/kitCode'
import type { LedgerEvent } from '../ledger/eventLedger'
import { statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'

/**
 * Events of one sample, or of one consignment, that one key or person may report. A consignment is followed for sixty days,
 * and a scan each hour of them makes 1,440. A sample is derived in one step, which takes about 10 ms for so many.
 */
export const MAX_REPORTS = 1_500

/** One key or person has reported too much of one sample or consignment; nothing was stored. The message goes to the sender. */
class ReportLimitError extends Error {
  override readonly name = 'ReportLimitError'
  constructor({ sample, service, waybill }: LedgerEvent) {
    super(
      `You have reported more than ${MAX_REPORTS} events of ${sample === null ? `consignment ${waybill} by ${service}` : `sample ${sample}`}. ` +
        'Nothing was stored. Leave out reports that repeat what is known.',
    )
  }
}

/** By its name, because Next may load its class more than once in one process. */
export function isReportLimit(error: unknown): error is Error {
  return error instanceof Error && error.name === 'ReportLimitError'
}

const OF_SAMPLES = statement(
  z.object({ n: z.number() }),
  `select n::int from unnest($1::text[]) with ordinality as asked (sample, n)
   where $3 < (select count(*) from event e where e.sample = asked.sample and e.reported_by = $2)
   order by n limit 1`,
)
const OF_CONSIGNMENTS = statement(
  z.object({ n: z.number() }),
  `select n::int from unnest($1::text[], $2::text[]) with ordinality as asked (service, waybill_key, n)
   where $4 < (select count(*) from event e where e.sample is null and e.service = asked.service
     and e.waybill_key = asked.waybill_key and e.reported_by = $3)
   order by n limit 1`,
)

/**
 * Refuses new events, which the ledger has by now, of a sample or consignment of which their reporter has then too many. What
 * others report does not count, so that nobody uses up another's. A sample that the reporter may not see counts as any other:
 * its events are read whenever someone else reports on it. The programme's own files may bring any number.
 *
 * Errors: ReportLimitError.
 */
export async function refuseTooManyReports(db: Queryable, added: readonly LedgerEvent[]): Promise<void> {
  const by = added[0]?.reportedBy ?? null
  if (by === null) return
  const samples = new Map<string, LedgerEvent>()
  const consignments = new Map<string, LedgerEvent>()
  for (const event of added)
    if (event.sample === null) consignments.set(consignmentKey(event) as string, event)
    else samples.set(event.sample, event)
  const firstOfSamples = await OF_SAMPLES.first(db, [[...samples.keys()], by, MAX_REPORTS])
  if (firstOfSamples) throw new ReportLimitError([...samples.values()][firstOfSamples.n - 1] as LedgerEvent)
  const events = [...consignments.values()]
  const services = events.map(({ service }) => service)
  const waybills = events.map(({ waybill }) => toCanonical(waybill as string))
  const first = await OF_CONSIGNMENTS.first(db, [services, waybills, by, MAX_REPORTS])
  if (first) throw new ReportLimitError(events[first.n - 1] as LedgerEvent)
}
