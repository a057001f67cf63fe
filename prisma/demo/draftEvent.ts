import type { Fault } from '@/lib/custody/condition'
import { joinFindingKey } from '@/lib/custody/findingKey'
import { DAY } from '@/lib/hold/zone'
import type { KitEntry } from './registerDocument'
import { formatDate, formatUtc } from './wallClock'
import type { Facts, WireEvent } from './wireEvent'
import type { WrittenTime } from './writtenTime'

/** An event without an id yet: it refers to other events directly. */
export interface DraftEvent {
  source: string
  kind: string
  /** The kit code as this source writes it; absent for a consignment. */
  sample?: string
  time: WrittenTime
  /** When the source wrote it down, ms UTC. Events later than `now` do not exist yet. */
  knownAt: number
  /** Whether the source sends `reportedAt`. */
  isKnownAtSent: boolean
  place?: string
  service?: string
  waybill?: string
  product?: string
  lot?: string
  corrects?: DraftEvent
  /** When another event took this one out of the count, ms UTC. */
  outAt?: number
  /** Whether its time lies after now. */
  isAhead?: boolean
  rulingOn?: DraftEvent
  /** The faults of the receipt that is ruled on, or the one that is taken back; absent: the event as a whole. */
  faults?: readonly Fault[]
  facts?: Facts
}

/**
 * Gives each draft an id and converts it, in the order in which they became known. An id is the day (UTC) and a number
 * within it, per source.
 */
export function toWireEvents(drafts: Iterable<DraftEvent>): WireEvent[] {
  const ordered = [...drafts].map((draft, index) => ({ draft, index }))
  ordered.sort((a, b) => a.draft.knownAt - b.draft.knownAt || a.index - b.index)
  const written = new Map<string, number>()
  const ids = new Map<DraftEvent, string>()
  for (const { draft } of ordered) {
    const day = formatDate(Math.floor(draft.knownAt / DAY))
    const number = (written.get(`${draft.source}/${day}`) ?? 0) + 1
    written.set(`${draft.source}/${day}`, number)
    ids.set(draft, `${day}-${String(number).padStart(3, '0')}`)
  }
  const named = (draft: DraftEvent) => `${draft.source}/${ids.get(draft)}`
  return ordered.map(({ draft }) => toWireEvent(draft, ids.get(draft) ?? '', named))
}

function toWireEvent(draft: DraftEvent, id: string, named: (draft: DraftEvent) => string): WireEvent {
  const keys = (about: DraftEvent) =>
    draft.faults?.map((fault) => joinFindingKey(named(about), fault)) ?? [named(about)]
  const on = draft.rulingOn && keys(draft.rulingOn)
  const facts = on ? { on: on.length === 1 ? (on[0] as string) : on, ...draft.facts } : draft.facts
  return {
    source: draft.source,
    id,
    ...(draft.sample !== undefined && { sample: draft.sample }),
    kind: draft.kind,
    at: draft.time.at,
    ...(draft.isKnownAtSent && { reportedAt: formatUtc(draft.knownAt) }),
    ...(draft.time.zone !== undefined && { zone: draft.time.zone }),
    ...(draft.place !== undefined && { place: draft.place }),
    ...(draft.service !== undefined && { service: draft.service }),
    ...(draft.waybill !== undefined && { waybill: draft.waybill }),
    ...(draft.product !== undefined && { product: draft.product }),
    ...(draft.lot !== undefined && { lot: draft.lot }),
    ...(draft.corrects && { corrects: keys(draft.corrects)[0] as string }),
    ...(facts && { facts }),
  }
}

/** A kit with everything that was or will be reported about it. The samples of a consignment share its drafts. */
export interface DemoSample {
  kit: KitEntry
  plantZone: string
  drafts: DraftEvent[]
}
