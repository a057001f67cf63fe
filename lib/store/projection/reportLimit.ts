import { z } from 'zod'
import { addTo } from '@/lib/custody/addTo'
import { consignmentKey } from '@/lib/custody/event'
import { toCanonical } from '@/lib/custody/kitCode'
import { MAX_CORRECTIONS, MAX_REPORTS } from '@/lib/custody/reportLimits'
import type { LedgerEvent } from '../ledger/eventLedger'
import { statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'

/** The place of a subject in what was asked for, from 1, and how many of its events are too many. */
const crowded = z.object({ n: z.number(), excess: z.number() })

const OF_SAMPLES = statement(
  crowded,
  `select n::int, (reports - $3)::int as excess from unnest($1::text[]) with ordinality as asked (sample, n),
     lateral (select count(*) as reports from event e where e.sample = asked.sample and e.reported_by = $2) as counted
   where reports > $3`,
)
const OF_CONSIGNMENTS = statement(
  crowded,
  `select n::int, (reports - $4)::int as excess
   from unnest($1::text[], $2::text[]) with ordinality as asked (service, waybill_key, n),
     lateral (select count(*) as reports from event e where e.sample is null and e.service = asked.service
       and e.waybill_key = asked.waybill_key and e.reported_by = $3) as counted
   where reports > $4`,
)
const OF_CORRECTED = statement(
  crowded,
  `select n::int, (reports - $3)::int as excess from unnest($1::text[]) with ordinality as asked (corrects, n),
     lateral (select count(*) as reports from event e where e.corrects = asked.corrects and e.reported_by = $2) as counted
   where reports > $3`,
)

/**
 * Of new events, which the ledger has by now, those that are too many: of a sample or a consignment, or that correct one event.
 * The first of a body are taken. What others report does not count, so that nobody uses up another's. A sample that the
 * reporter may not see counts as any other: its events are read whenever someone else reports on it. The programme's own files
 * may bring any number.
 */
export async function findTooMany(
  db: Queryable,
  added: readonly LedgerEvent[],
): Promise<ReadonlySet<LedgerEvent>> {
  const tooMany = new Set<LedgerEvent>()
  const by = added[0]?.reportedBy ?? null
  if (by === null) return tooMany
  const collect = (groups: LedgerEvent[][], found: readonly z.infer<typeof crowded>[]) => {
    for (const { n, excess } of found)
      for (const event of groups[n - 1]?.slice(-excess) ?? []) tooMany.add(event)
  }
  const samples = group(added, ({ sample }) => sample)
  collect([...samples.values()], await OF_SAMPLES.all(db, [[...samples.keys()], by, MAX_REPORTS]))

  const consignments = [
    ...group(added, (event) => (event.sample === null ? consignmentKey(event) : null)).values(),
  ]
  const services = consignments.map(([first]) => first?.service)
  const waybills = consignments.map(([first]) => toCanonical(first?.waybill ?? ''))
  collect(consignments, await OF_CONSIGNMENTS.all(db, [services, waybills, by, MAX_REPORTS]))

  const corrected = group(added, ({ corrects }) => corrects)
  collect([...corrected.values()], await OF_CORRECTED.all(db, [[...corrected.keys()], by, MAX_CORRECTIONS]))
  return tooMany
}

/** Groups events by what `find` says of each; null leaves one out. */
function group(events: readonly LedgerEvent[], find: (event: LedgerEvent) => string | null) {
  const groups = new Map<string, LedgerEvent[]>()
  for (const event of events) {
    const key = find(event)
    if (key !== null) addTo(groups, key, event)
  }
  return groups
}
