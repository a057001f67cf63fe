import { consignmentKey } from '@/lib/custody/event'
import type { LedgerEvent } from '../ledger/eventLedger'

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

/**
 * Refuses new events of a sample or consignment of which their reporter has then too many. `events`: every event of these in the
 * ledger, the new ones included. What others report does not count, so that nobody uses up another's. The programme's own
 * files may bring any number.
 *
 * Errors: ReportLimitError.
 */
export function refuseTooManyReports(added: readonly LedgerEvent[], events: readonly LedgerEvent[]): void {
  const by = added[0]?.reportedBy ?? null
  if (by === null) return
  const counts = new Map<string, number>()
  for (const event of events) {
    const subject = event.reportedBy === by ? findSubject(event) : null
    if (subject !== null) counts.set(subject, (counts.get(subject) ?? 0) + 1)
  }
  for (const event of added)
    if ((counts.get(findSubject(event) as string) ?? 0) > MAX_REPORTS) throw new ReportLimitError(event)
}

/** The sample that an event names, else its consignment. */
function findSubject(event: LedgerEvent): string | null {
  return event.sample ?? consignmentKey(event)
}
