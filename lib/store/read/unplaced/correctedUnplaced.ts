import { consignmentKey, eventKey, type ReadEvent } from '@/lib/custody/event'
import { toCanonical } from '@/lib/custody/kitCode'
import type { CorrectedEvent } from '@/lib/custody/placing'
import { mayReport } from '@/lib/policy/mayReport'
import { declareEventQuery, type LedgerEvent } from '../../ledger/eventLedger'
import { placeLedgerEvents } from '../../projection/placeLedgerEvents'
import type { ReadContext } from '../../projection/readTransaction'
import { findRelatedEvents, touchSamples } from '../../projection/relatedEvents'

/** An event that withdrew or corrected another. */
export interface CorrectedBy {
  key: string
  kind: ReadEvent['kind']
  /** The known kit that it names; null if it names none. */
  sample: string | null
}

/** An event that matches no known sample and is out of the count, so that it need not be placed. */
export interface CorrectedUnplaced {
  key: string
  event: ReadEvent
  acceptedAt: number
  /** The zone of the place it was reported from; null if the register does not have that place. */
  placeZone: string | null
  correctedBy: CorrectedBy[]
}

const MAX_EVENTS = 200

/**
 * The newest `MAX_EVENTS` events that match no known sample and were corrected or withdrawn, newest first, at `now` (ms
 * UTC). No table holds them: they are few, and found among the corrected events. `reader` must see everything.
 */
export async function listCorrectedUnplaced(
  { client, register }: ReadContext,
  now: number,
): Promise<CorrectedUnplaced[]> {
  const candidates = await CANDIDATES(client, [new Date(now), MAX_EVENTS])
  const codes = candidates.flatMap(({ sample }) => sample ?? [])
  // Nothing else leads to a box without a code.
  const touched = { ...touchSamples(codes, getConsignments(candidates)), chain: candidates }
  const related = await findRelatedEvents(client, touched)
  const { kits, read, unplacedCorrected } = await placeLedgerEvents(client, related, register, now)
  const outByKey = new Map(unplacedCorrected.map((one) => [eventKey(one.event), one]))
  const byKey = new Map(read.map((event) => [eventKey(event), event]))
  return candidates.flatMap((event): CorrectedUnplaced[] => {
    const out: CorrectedEvent | undefined = outByKey.get(eventKey(event))
    if (!out) return []
    return [
      {
        key: eventKey(event),
        event: out.event,
        acceptedAt: event.acceptedAt,
        placeZone: register.getZone(event.place),
        correctedBy: out.correctedBy.flatMap((key) => {
          const by = byKey.get(key)
          if (!by) return []
          const kit = kits.get(by.sample ?? '')
          return [
            { key, kind: by.kind, sample: kit && mayReport(by.reporter, by.kind, kit) ? kit.code : null },
          ]
        }),
      },
    ]
  })
}

function getConsignments(events: readonly LedgerEvent[]) {
  return new Map(
    events.flatMap((event) => {
      const key = event.sample === null ? consignmentKey(event) : null
      const consignment = { service: event.service as string, waybillKey: toCanonical(event.waybill ?? '') }
      return key === null ? [] : [[key, consignment] as const]
    }),
  )
}

/**
 * The corrected events, without those that certainly count for a sample: they name a kit that the reporter may report
 * on, or a consignment with an unrestricted, uncorrected dispatch of a kit that is neither ahead of now nor far off in time.
 */
const CANDIDATES = declareEventQuery(`
  join (select distinct split_part(corrects, '/', 1), substr(corrects, strpos(corrects, '/') + 1)
        from event where corrects is not null) as corrected (source, id) using (source, id)
  where not exists (select from unplaced u where u.event_seq = e.seq)
    and case when e.sample is not null
      then not exists (
        select from sample s where s.code = e.sample
          and (${isUnrestricted('e')}
            or s.plant = any (e.reporter_plants) or s.laboratory = any (e.reporter_laboratories)))
      else not ${isUnrestricted('e')} or not exists (
        select from event d join sample s on s.code = d.sample
        where d.kind = 'dispatched' and d.service = e.service and d.waybill_key = e.waybill_key
          and ${isUnrestricted('d')}
          and not exists (select from event c where c.corrects = d.source || '/' || d.id)
          and ${daySql('d')} < $1::timestamptz::date - 1
          and abs(${daySql('d')} - ${daySql('e')}) < 58)
      end
  order by e.seq desc limit $2`)

/** SQL for whether the reporter of an event acts at all places; as `isRestricted` of the policy. */
function isUnrestricted(event: string): string {
  return `coalesce(${event}.reporter_sides && '{carrier,programme}',
    ${event}.reporter_plants is null and ${event}.reporter_laboratories is null)`
}

/** SQL for the date that an event was sent with; null outside of the years 1000 to 2999, which excludes nothing. */
function daySql(event: string): string {
  return `case when ${event}.at ~ '^[12][0-9]{3}-' then left(${event}.at, 10)::date end`
}
