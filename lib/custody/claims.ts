import { DAY } from '@/lib/hold/zone'
import { addTo } from './addTo'
import type { MayReport } from './corrections'
import { consignmentKey, eventKey, type ReadEvent } from './event'

/** Maximum distance between a hand-over and another event of its consignment, by earliest readings, ms. */
const CONSIGNMENT_SPAN = 60 * DAY

/** What placing has to know of reporters and samples. */
export interface PlacingPolicy {
  mayReport: MayReport
  /** Names the maker of a known sample: samples of one maker may share a consignment. */
  getMaker(sample: string): string
}

/** A hand-over that names a consignment, whether it counts or was corrected. */
export interface Dispatch {
  sample: string
  event: ReadEvent
  isCounted: boolean
  isLooping: boolean
  /** The key of the event that was the first to take it out of the count; null if none did. */
  replacedBy: string | null
}

/** What a counted hand-over says: that its sample travels under that waybill. */
export interface Claim {
  sample: string
  event: ReadEvent
  /** Whether events of the consignment count for the sample. */
  isStanding: boolean
}

/** Whether two events are near enough in time to be of one consignment: carriers use waybill numbers again. */
export function isOfSameTime(a: ReadEvent, b: ReadEvent): boolean {
  return Math.abs(a.earliestAt - b.earliestAt) <= CONSIGNMENT_SPAN
}

/** Whether one event could be near enough to both. */
function doContend(a: ReadEvent, b: ReadEvent): boolean {
  return Math.abs(a.earliestAt - b.earliestAt) <= 2 * CONSIGNMENT_SPAN
}

/**
 * Judges the claims on each consignment, by its key. The first claim stands. A later one of another maker waits, unless whoever
 * made it may also report the hand-over of the sample that travels already: a maker that could claim any waybill would see
 * another's scans and receipt. Claims of files all stand, and stop no other.
 */
export function judgeClaims(dispatches: readonly Dispatch[], policy: PlacingPolicy): Map<string, Claim[]> {
  const byKey = new Map(dispatches.map((one) => [eventKey(one.event), one]))
  const counted = new Map<string, Begun[]>()
  for (const one of dispatches)
    if (one.isCounted)
      addTo(counted, consignmentKey(one.event) as string, { ...one, ...findPlace(one, byKey, policy) })
  return new Map([...counted].map(([key, all]) => [key, judgeConsignment(all, policy)]))
}

function judgeConsignment(counted: readonly Begun[], { mayReport, getMaker }: PlacingPolicy): Claim[] {
  const standing = new Map<string, Claim[]>()
  return [...counted].sort(compareBegin).map(({ sample, event, isConfirmed }) => {
    const maker = getMaker(sample)
    const blocks = (first: Claim) =>
      doContend(first.event, event) && !mayReport(event, 'dispatched', first.sample)
    const isStanding =
      isConfirmed || ![...standing].some(([other, firsts]) => other !== maker && firsts.some(blocks))
    const claim = { sample, event, isStanding }
    if (isStanding && event.reporter != null) addTo(standing, maker, claim)
    return claim
  })
}

/** The place of a claim among those on its consignment. */
interface Place {
  /**
   * When it begins, ms UTC: when it was accepted, and not before the hand-over, so that nobody keeps a waybill for later. One in a
   * loop of corrections counts again since the loop was closed, whenever that was, and comes last.
   */
  begunAt: number
  /** Whether it was reported by someone who may report any hand-over. */
  isConfirmed: boolean
}

/** A claim that replaces one of its maker keeps the place of that. */
function findPlace(
  dispatch: Dispatch,
  byKey: ReadonlyMap<string, Dispatch>,
  { mayReport, getMaker }: PlacingPolicy,
): Place {
  let isConfirmed = mayReport(dispatch.event, 'dispatched', null)
  if (dispatch.isLooping) return { begunAt: Number.POSITIVE_INFINITY, isConfirmed }
  let begunAt = getOwnBegin(dispatch.event)
  for (let one = dispatch; one.event.corrects !== null; ) {
    const replaced = byKey.get(one.event.corrects)
    if (
      replaced?.replacedBy !== eventKey(one.event) ||
      consignmentKey(replaced.event) !== consignmentKey(one.event) ||
      getMaker(replaced.sample) !== getMaker(one.sample) ||
      !doContend(replaced.event, dispatch.event)
    )
      break
    begunAt = Math.min(begunAt, getOwnBegin(replaced.event))
    isConfirmed ||= mayReport(replaced.event, 'dispatched', null)
    one = replaced
  }
  return { begunAt, isConfirmed }
}

function getOwnBegin({ acceptedAt, earliestAt }: ReadEvent): number {
  return acceptedAt == null ? Number.NEGATIVE_INFINITY : Math.max(acceptedAt, earliestAt)
}

type Begun = Dispatch & Place

function compareBegin({ event: a, begunAt: aAt }: Begun, { event: b, begunAt: bAt }: Begun): number {
  if (aAt !== bAt) return aAt < bAt ? -1 : 1
  if (a.source !== b.source) return a.source < b.source ? -1 : 1
  return a.id < b.id ? -1 : 1
}
