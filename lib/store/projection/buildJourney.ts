import { type CustodyEvent, consignmentKey, eventKey, type ReadEvent } from '@/lib/custody/event'
import { toCanonical } from '@/lib/custody/kitCode'
import type { PlacedEvent } from '@/lib/custody/placing'
import type { Sample } from '@/lib/custody/sample'
import type { Clock } from '@/lib/hold/clock'
import { isEnding, isMilestone } from '@/lib/hold/milestone'
import type { Journey, JourneyEnding, Report } from '@/lib/lane/model/journey'

/** When events became known, ms UTC, by their key: of all that bear on a sample, those that correct others among them. */
export type KnownAt = ReadonlyMap<string, number>

/** An event as read, with our own receipt (ms UTC) where it has come to us rather than stood in a file. */
type ReceivedEvent = ReadEvent & { receivedAt?: number | null }

/** When each event became known: when its source wrote it down, else when it came to us, else when it happened. */
export function computeKnownAt(events: Iterable<ReceivedEvent>): KnownAt {
  const known = new Map<string, number>()
  for (const event of events)
    known.set(eventKey(event), event.reportedAt ?? event.receivedAt ?? event.earliestAt)
  return known
}

/**
 * A sample's journey: every report of a milestone that was placed on it, those that were taken out among them. What
 * lies ahead of now is in it too, so that it says the same whenever it is worked out.
 */
export function buildJourney(
  { kit, events, clocks = [] }: Pick<Sample, 'kit' | 'events'> & Partial<Pick<Sample, 'clocks'>>,
  knownAt: KnownAt,
): Journey {
  const knownOf = (event: ReadEvent) => knownAt.get(eventKey(event)) ?? event.earliestAt
  const standing = events.filter(({ correctedBy }) => correctedBy.length === 0).map(({ event }) => event)
  const dispatches = standing.filter(({ kind, sample }) => kind === 'dispatched' && sample !== null)
  const consigned = dispatches.find((event) => consignmentKey(event) !== null)
  const sent = consigned ?? dispatches.find(({ service }) => service !== null)
  return {
    code: kit.code,
    plant: kit.plant,
    laboratory: kit.laboratory,
    service: sent?.service ?? kit.service,
    consignment: consigned ? formatConsignment(consigned) : null,
    issuedAt: kit.issuedAt,
    reports: events.flatMap((placed) => toReports(placed, dispatches, knownAt, knownOf)),
    ending: findEnding(standing, knownOf),
    dueAts: computeDueAts(clocks),
  }
}

/** The first due of the clocks by the milestone that stops them. */
function computeDueAts(clocks: readonly Clock[]): Journey['dueAts'] {
  const dueAts: NonNullable<Journey['dueAts']> = {}
  for (const { limit, dueAt } of clocks)
    if (dueAt !== null) dueAts[limit.to] = Math.min(dueAt, dueAts[limit.to] ?? Number.POSITIVE_INFINITY)
  return dueAts
}

function toReports(
  { event, correctedBy, isByConsignment }: PlacedEvent,
  dispatches: readonly ReadEvent[],
  knownAt: KnownAt,
  knownOf: (event: ReadEvent) => number,
): Report[] {
  if (!isMilestone(event.kind)) return []
  // What was said of a consignment spoke of this sample only once its dispatch had named the consignment.
  const naming = dispatches.filter((one) => isByConsignment && consignmentKey(one) === consignmentKey(event))
  const namedAt = naming.length > 0 ? Math.min(...naming.map(knownOf)) : Number.NEGATIVE_INFINITY
  const corrections = correctedBy.map((key) => knownAt.get(key) ?? knownOf(event))
  return [
    {
      milestone: event.kind,
      at: event.earliestAt,
      latestAt: event.latestAt,
      knownAt: Math.max(knownOf(event), namedAt),
      withdrawnAt: corrections.length > 0 ? Math.min(...corrections) : null,
    },
  ]
}

function formatConsignment({ service, waybill }: CustodyEvent): string {
  return JSON.stringify([service, toCanonical(waybill as string)])
}

/** The ending that came first; events are in the order of their time. */
function findEnding(
  standing: readonly ReadEvent[],
  knownOf: (event: ReadEvent) => number,
): JourneyEnding | null {
  const endings = standing.filter(({ kind }) => isEnding(kind))
  const [first] = [...endings].sort((a, b) => a.earliestAt - b.earliestAt || (a.kind < b.kind ? -1 : 1))
  if (!first) return null
  const same = endings.filter(
    ({ kind, earliestAt }) => kind === first.kind && earliestAt === first.earliestAt,
  )
  return {
    kind: first.kind as JourneyEnding['kind'],
    at: first.earliestAt,
    knownAt: Math.min(...same.map(knownOf)),
  }
}
