import { findEarliest, findLatest } from '@/lib/hold/extremes'
import {
  type Ending,
  isEnding,
  isMilestone,
  MILESTONE_ORDER,
  MILESTONES,
  type Milestone,
} from '@/lib/hold/milestone'
import type { ReadEvent } from './event'
import { toCanonical } from './kitCode'
import { isCounted, type PlacedEvent } from './placing'
import { isReadingFault, type Reading, readAcceptedTime } from './reading'
import { readTextFact } from './textFact'

/** The counted reports of one milestone. */
export interface MilestoneReading extends Reading {
  /** Two reports contradict each other: their readings do not overlap. */
  isDisputed: boolean
  events: ReadEvent[]
}

/** What the counted events of a sample say together. */
export interface History {
  milestones: ReadonlyMap<Milestone, MilestoneReading>
  /** The first ending that is not outweighed, if the sample ended early. */
  ending: { kind: Ending; at: number } | null
  /** The reports that it was lost or returned, by time, although it was received later. They end nothing. */
  outweighed: ReadEvent[]
  /** The last reported milestone in the order of life. */
  stage: Milestone | null
  /** As named by `collected`, else by `produced`. */
  product: string | null
  lot: string | null
  /** The canonical kit code that the latest `replaced by` names. */
  replacedBy: string | null
  /** It is held on its way. `by`: who releases it; `untilAt` (ms UTC): by when. */
  held: { by: string | null; untilAt: number | null; at: number } | null
}

/** The order of the events does not matter. */
export function readHistory(
  placed: readonly PlacedEvent[],
  getZone: (place: string | null) => string | null,
): History {
  const counted = placed.filter(isCounted).map((one) => one.event)
  const milestones = new Map<Milestone, MilestoneReading>()
  const outweighed = findOutweighed(counted)
  let ending: History['ending'] = null
  for (const event of counted) {
    if (isMilestone(event.kind)) {
      const known = milestones.get(event.kind)
      if (known) known.events.push(event)
      else milestones.set(event.kind, { earliestAt: 0, latestAt: 0, isDisputed: false, events: [event] })
    } else if (isEnding(event.kind) && isFirstEnding(event, ending) && !outweighed.has(event)) {
      ending = { kind: event.kind, at: event.earliestAt }
    }
  }
  for (const reading of milestones.values()) mergeReports(reading)
  const naming = [
    ...(milestones.get('collected')?.events ?? []),
    ...(milestones.get('produced')?.events ?? []),
  ]
  const hasArrived = [...milestones.keys()].some((one) => MILESTONE_ORDER[one] > MILESTONE_ORDER.dispatched)
  return {
    milestones,
    ending,
    outweighed: [...outweighed].sort(compareByTime),
    stage: MILESTONES.findLast((milestone) => milestones.has(milestone)) ?? null,
    product: naming.find((event) => event.product !== null)?.product ?? null,
    lot: naming.find((event) => event.lot !== null)?.lot ?? null,
    replacedBy: findReplacement(counted),
    held: hasArrived || ending !== null ? null : findHeld(counted, getZone),
  }
}

/**
 * Of events that all count, those that say it was lost or returned before it was received: the carrier's word, which the
 * desk's own outweighs. The latest reading of a receipt is held against the earliest of an ending.
 */
export function findOutweighed(counted: readonly ReadEvent[]): Set<ReadEvent> {
  const receipts = counted.filter(({ kind }) => kind === 'received')
  const receivedAt = findLatest(receipts.map(({ latestAt }) => latestAt))
  return new Set(
    counted.filter(
      ({ kind, earliestAt }) => (kind === 'lost' || kind === 'returned') && earliestAt < receivedAt,
    ),
  )
}

/** The last `held`, if nothing was seen of the sample since. */
function findHeld(
  counted: readonly ReadEvent[],
  getZone: (place: string | null) => string | null,
): History['held'] {
  const last = counted.filter(isOnTheWay).sort(compareByTime).at(-1)
  if (last?.kind !== 'held') return null
  const until = readTextFact(last, 'until')
  const reading = until === null ? null : readAcceptedTime(until, last.zone, getZone(last.place))
  const untilAt = reading === null || isReadingFault(reading) ? null : reading.latestAt
  return { by: readTextFact(last, 'by'), untilAt, at: last.earliestAt }
}

/** What says that a sample is held, or that it moves. */
function isOnTheWay({ kind }: ReadEvent): boolean {
  return kind === 'held' || kind === 'scanned' || kind === 'customs cleared' || kind === 'dispatched'
}

function findReplacement(counted: readonly ReadEvent[]): string | null {
  const last = counted
    .filter((event) => event.kind === 'replaced by')
    .sort(compareByTime)
    .at(-1)
  const kit = last?.facts?.kit
  return typeof kit === 'string' ? toCanonical(kit) : null
}

function isFirstEnding(event: ReadEvent, ending: History['ending']): boolean {
  if (ending === null || event.earliestAt < ending.at) return true
  return event.earliestAt === ending.at && event.kind < ending.kind
}

/** Sets the earliest and the latest of all readings, and whether any two reports contradict each other. */
function mergeReports(reading: MilestoneReading): void {
  const { events } = reading
  events.sort(compareByTime)
  reading.earliestAt = findEarliest(events.map((event) => event.earliestAt))
  reading.latestAt = findLatest(events.map((event) => event.latestAt))
  // Intervals all overlap if and only if the last start is not after the first end.
  const lastStart = findLatest(events.map((event) => event.earliestAt))
  const firstEnd = findEarliest(events.map((event) => event.latestAt))
  reading.isDisputed = lastStart > firstEnd
}

/** Orders by earliest reading, then by source and id, so that the order is never a matter of chance. */
export function compareByTime(a: ReadEvent, b: ReadEvent): number {
  if (a.earliestAt !== b.earliestAt) return a.earliestAt - b.earliestAt
  if (a.source !== b.source) return a.source < b.source ? -1 : 1
  return a.id < b.id ? -1 : 1
}
