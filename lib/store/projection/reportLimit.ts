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

/**
 * Events of one key or person that may correct the same event. The first takes it out for good; others are read whenever its
 * sample is derived, whichever sample they are of.
 */
export const MAX_CORRECTIONS = 10

/**
 * One key or person has reported too much of one sample or consignment, or corrected one event too often; nothing was stored.
 * The message goes to the sender.
 */
class ReportLimitError extends Error {
  override readonly name = 'ReportLimitError'
  constructor(what: string) {
    super(
      `You have reported more than ${what}. Nothing was stored. Leave out reports that repeat what is known.`,
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
const OF_CORRECTED = statement(
  z.object({ n: z.number() }),
  `select n::int from unnest($1::text[]) with ordinality as asked (corrects, n)
   where $3 < (select count(*) from event e where e.corrects = asked.corrects and e.reported_by = $2)
   order by n limit 1`,
)

/**
 * Refuses new events, which the ledger has by now, of a sample or consignment of which their reporter has then too many, or that
 * correct one event of which that holds. What others report does not count, so that nobody uses up another's. A sample that the
 * reporter may not see counts as any other: its events are read whenever someone else reports on it. The programme's own files
 * may bring any number.
 *
 * Errors: ReportLimitError.
 */
export async function refuseTooManyReports(db: Queryable, added: readonly LedgerEvent[]): Promise<void> {
  const by = added[0]?.reportedBy ?? null
  if (by === null) return
  const samples = [...new Set(added.flatMap(({ sample }) => sample ?? []))]
  const crowded = await OF_SAMPLES.first(db, [samples, by, MAX_REPORTS])
  if (crowded) throw new ReportLimitError(`${MAX_REPORTS} events of sample ${samples[crowded.n - 1]}`)

  const ofConsignments = added.filter(({ sample }) => sample === null)
  const consignments = [...new Map(ofConsignments.map((event) => [consignmentKey(event), event])).values()]
  const services = consignments.map(({ service }) => service)
  const waybills = consignments.map(({ waybill }) => toCanonical(waybill as string))
  const followed = await OF_CONSIGNMENTS.first(db, [services, waybills, by, MAX_REPORTS])
  const { waybill, service } = consignments[(followed?.n ?? 0) - 1] ?? {}
  if (followed) throw new ReportLimitError(`${MAX_REPORTS} events of consignment ${waybill} by ${service}`)

  const corrected = [...new Set(added.flatMap(({ corrects }) => corrects ?? []))]
  const often = await OF_CORRECTED.first(db, [corrected, by, MAX_CORRECTIONS])
  if (often) throw new ReportLimitError(`${MAX_CORRECTIONS} events that correct ${corrected[often.n - 1]}`)
}
