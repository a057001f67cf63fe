import { DAY } from '@/lib/hold/zone'
import type { MayReport } from './corrections'
import { consignmentKey, type ReadEvent } from './event'

/** Maximum distance between two events of one consignment, by earliest readings, ms. */
const CONSIGNMENT_SPAN = 60 * DAY

/** What placing has to know of reporters and samples. */
export interface PlacingPolicy {
  mayReport: MayReport
  /** Names the maker of a known sample: samples of one maker may share a consignment. */
  getMaker(sample: string): string
}

/** A counted hand-over that names a consignment: it says that the sample travels under that waybill. */
export interface Claim {
  sample: string
  dispatch: ReadEvent
  /** Whether events of the consignment count for the sample. */
  isStanding: boolean
}

/** Whether two events are near enough in time to be of one consignment: carriers use waybill numbers again. */
export function isOfSameTime(a: ReadEvent, b: ReadEvent): boolean {
  return isWithin(CONSIGNMENT_SPAN, a, b)
}

function isWithin(spanMs: number, a: ReadEvent, b: ReadEvent): boolean {
  return Math.abs(a.earliestAt - b.earliestAt) <= spanMs
}

/**
 * Judges the claims on each consignment, by its key. The claim that was accepted first stands. A later one of another maker
 * waits, unless whoever made it may also report the hand-over of the sample that travels already: a maker that could claim
 * any waybill would see another's scans and receipt. Two claims contend as long as one event can be near enough to both. Claims of
 * files all stand, and stop no other.
 */
export function judgeClaims(
  dispatches: readonly Omit<Claim, 'isStanding'>[],
  { mayReport, getMaker }: PlacingPolicy,
): Map<string, Claim[]> {
  const claims = new Map<string, Claim[]>()
  const standing = new Map<string, Map<string, ReadEvent[]>>()
  const samples = new Map(dispatches.map(({ sample, dispatch }) => [dispatch, sample]))
  for (const { sample, dispatch } of [...dispatches].sort(compareAcceptance)) {
    const key = consignmentKey(dispatch) as string
    const byMaker = getOrSet(standing, key, () => new Map<string, ReadEvent[]>())
    const maker = getMaker(sample)
    const blocks = (first: ReadEvent) =>
      isWithin(2 * CONSIGNMENT_SPAN, first, dispatch) &&
      !mayReport(dispatch, 'dispatched', samples.get(first) as string)
    const isStanding =
      mayReport(dispatch, 'dispatched', null) ||
      ![...byMaker].some(([other, firsts]) => other !== maker && firsts.some(blocks))
    getOrSet(claims, key, () => [] as Claim[]).push({ sample, dispatch, isStanding })
    if (isStanding && dispatch.reporter != null)
      getOrSet(byMaker, maker, () => [] as ReadEvent[]).push(dispatch)
  }
  return claims
}

function compareAcceptance(
  { dispatch: a }: { dispatch: ReadEvent },
  { dispatch: b }: { dispatch: ReadEvent },
) {
  const [aAt, bAt] = [a.acceptedAt ?? 0, b.acceptedAt ?? 0]
  if (aAt !== bAt) return aAt - bAt
  if (a.source !== b.source) return a.source < b.source ? -1 : 1
  return a.id < b.id ? -1 : 1
}

function getOrSet<K, V>(map: Map<K, V>, key: K, make: () => V): V {
  const known = map.get(key)
  if (known !== undefined) return known
  const made = make()
  map.set(key, made)
  return made
}
