import { type CustodyEvent, consignmentKey, eventKey, type ReadEvent } from '@/lib/custody/event'
import { findOutweighed } from '@/lib/custody/history'
import { toCanonical } from '@/lib/custody/kitCode'
import type { PlacedEvent } from '@/lib/custody/placing'
import type { SampleWithEvents } from '@/lib/custody/sample'
import type { Clock } from '@/lib/hold/clock'
import { findEarliest } from '@/lib/hold/extremes'
import { isEnding, isMilestone } from '@/lib/hold/milestone'
import type { Journey, JourneyEnding, Report } from '@/lib/lane/model/journey'

/** When each event that concerns a sample became known, ms UTC, by its key; corrections included. */
export type KnownAt = ReadonlyMap<string, number>

/** An event became known when its source wrote it down, else when we received it, else when it happened. */
export function computeKnownAt(events: Iterable<ReadEvent>): KnownAt {
  const known = new Map<string, number>()
  for (const event of events)
    known.set(eventKey(event), event.reportedAt ?? event.acceptedAt ?? event.earliestAt)
  return known
}

/**
 * A sample's journey: every report of a milestone that was placed on it, withdrawn ones included. Reports ahead of now are
 * included too, so that the journey does not depend on when it is built.
 */
export function buildJourney(
  {
    kit,
    events,
    clocks = [],
  }: Pick<SampleWithEvents, 'kit' | 'events'> & Partial<Pick<SampleWithEvents, 'clocks'>>,
  knownAt: KnownAt,
): Journey {
  const getKnownAt = (event: ReadEvent) => knownAt.get(eventKey(event)) ?? event.earliestAt
  const counted = events.filter(({ correctedBy }) => correctedBy.length === 0).map(({ event }) => event)
  const dispatches = counted.filter(({ kind, sample }) => kind === 'dispatched' && sample !== null)
  const consigned = dispatches.find((event) => consignmentKey(event) !== null)
  const sent = consigned ?? dispatches.find(({ service }) => service !== null)
  return {
    code: kit.code,
    plant: kit.plant,
    laboratory: kit.laboratory,
    service: sent?.service ?? kit.service,
    consignment: consigned ? formatConsignment(consigned) : null,
    issuedAt: kit.issuedAt,
    reports: events.flatMap((placed) => toReports(placed, dispatches, knownAt, getKnownAt)),
    ending: findEnding(counted, getKnownAt),
    dueAts: computeDueAts(clocks),
  }
}

/** The first due by the milestone that stops its clock. */
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
  getKnownAt: (event: ReadEvent) => number,
): Report[] {
  if (!isMilestone(event.kind)) return []
  // A consignment's event concerns this sample only once a dispatch has named the consignment.
  const key = isByConsignment ? consignmentKey(event) : null
  const naming = key === null ? [] : dispatches.filter((one) => consignmentKey(one) === key)
  const namedAt = naming.length > 0 ? findEarliest(naming.map(getKnownAt)) : Number.NEGATIVE_INFINITY
  const corrections = correctedBy.map((key) => knownAt.get(key) ?? getKnownAt(event))
  return [
    {
      milestone: event.kind,
      at: event.earliestAt,
      latestAt: event.latestAt,
      knownAt: Math.max(getKnownAt(event), namedAt),
      withdrawnAt: corrections.length > 0 ? findEarliest(corrections) : null,
    },
  ]
}

function formatConsignment({ service, waybill }: CustodyEvent): string {
  return JSON.stringify([service, toCanonical(waybill as string)])
}

/** The first ending that no receipt outweighs. */
function findEnding(
  standing: readonly ReadEvent[],
  getKnownAt: (event: ReadEvent) => number,
): JourneyEnding | null {
  const outweighed = findOutweighed(standing)
  const endings = standing.filter((event) => isEnding(event.kind) && !outweighed.has(event))
  const [first] = [...endings].sort((a, b) => a.earliestAt - b.earliestAt || (a.kind < b.kind ? -1 : 1))
  if (!first) return null
  const same = endings.filter(
    ({ kind, earliestAt }) => kind === first.kind && earliestAt === first.earliestAt,
  )
  return {
    kind: first.kind as JourneyEnding['kind'],
    at: first.earliestAt,
    knownAt: findEarliest(same.map(getKnownAt)),
  }
}
