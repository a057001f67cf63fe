import { DAY } from '@/lib/hold/zone'
import { type Corrections, judgeCorrections } from './corrections'
import { type CustodyEvent, consignmentKey, eventKey, type ReadEvent } from './event'

/** How far apart a dispatch and an event of its consignment may lie, earliest readings, ms. */
const CONSIGNMENT_SPAN = 60 * DAY

/** An event as it bears on one sample. */
export interface PlacedEvent {
  event: ReadEvent
  /** Keys of the events that take it out of the count for this sample. */
  correctedBy: string[]
  /** It lies ahead of now and counts when its time comes. */
  isAhead: boolean
  /** It speaks of the consignment that the sample travels in. */
  isByConsignment: boolean
  /** It is in a loop of corrections, which counts as none. */
  isLooping: boolean
}

/** Whether an event counts: nothing corrects it, and it does not lie ahead. */
export function isCounted(placed: PlacedEvent): boolean {
  return placed.correctedBy.length === 0 && !placed.isAhead
}

/** Whether an event can be said to belong to another kit: it names this one, still counts, and says something of it. */
export function canBeMoved({ event, correctedBy }: PlacedEvent): boolean {
  return event.sample !== null && correctedBy.length === 0 && event.kind !== 'withdrawn'
}

export interface Placement {
  bySample: Map<string, PlacedEvent[]>
  /** Events that fit no known sample and that nothing has taken out of the count. */
  unplaced: ReadEvent[]
  /** Events that fit no known sample and are out of the count. */
  unplacedCorrected: CorrectedEvent[]
}

/** An event out of the count, with the keys of what took it out. */
export interface CorrectedEvent {
  event: ReadEvent
  correctedBy: string[]
}

/**
 * Places a set of events, in no order, on the known samples (canonical codes) at `now` (ms UTC). An event of a
 * consignment counts for every sample of which a counted dispatch names the same service and waybill, no more than
 * 60 days away. `maySpeak` says whether the reporter of an event may speak of a known sample: to others' samples its
 * event is as if they were unknown.
 */
export function placeEvents(
  events: readonly ReadEvent[],
  isKnown: (code: string) => boolean,
  now: number,
  maySpeak: (event: CustodyEvent, sample: string) => boolean = () => true,
): Placement {
  const corrections = judgeCorrections(events, maySpeak)
  const bySample = new Map<string, PlacedEvent[]>()
  const unplaced: ReadEvent[] = []
  const outUnplaced: CorrectedEvent[] = []
  const setUnplaced = (event: ReadEvent) => {
    const correctedBy = corrections.findCorrectors(event, event.sample)
    if (correctedBy.length === 0) unplaced.push(event)
    else outUnplaced.push({ event, correctedBy })
  }
  const consignments: ReadEvent[] = []
  for (const event of events) {
    if (event.sample === null) consignments.push(event)
    else if (isKnown(event.sample) && maySpeak(event, event.sample))
      addTo(bySample, event.sample, toPlacedEvent(event, event.sample, corrections, now))
    else setUnplaced(event)
  }
  const travelling = consignments.length > 0 ? findDispatches(bySample) : new Map<string, Dispatch[]>()
  for (const event of consignments) {
    const near = (travelling.get(consignmentKey(event) as string) ?? []).filter(
      ({ sample, earliestAt }) =>
        Math.abs(earliestAt - event.earliestAt) <= CONSIGNMENT_SPAN && maySpeak(event, sample),
    )
    for (const sample of new Set(near.map((dispatch) => dispatch.sample)))
      addTo(bySample, sample, toPlacedEvent(event, sample, corrections, now))
    if (near.length === 0) setUnplaced(event)
  }
  return { bySample, unplaced, unplacedCorrected: outUnplaced }
}

interface Dispatch {
  sample: string
  earliestAt: number
}

/** The counted dispatches that name both service and waybill, by what they name. */
function findDispatches(bySample: ReadonlyMap<string, PlacedEvent[]>): Map<string, Dispatch[]> {
  const found = new Map<string, Dispatch[]>()
  for (const [sample, placed] of bySample)
    for (const one of placed) {
      const key = one.event.kind === 'dispatched' && isCounted(one) ? consignmentKey(one.event) : null
      if (key !== null) addTo(found, key, { sample, earliestAt: one.event.earliestAt })
    }
  return found
}

function toPlacedEvent(event: ReadEvent, sample: string, corrections: Corrections, now: number): PlacedEvent {
  return {
    event,
    correctedBy: corrections.findCorrectors(event, sample),
    isAhead: event.earliestAt > now,
    isByConsignment: event.sample === null,
    isLooping: corrections.looping.size > 0 && corrections.looping.has(eventKey(event)),
  }
}

function addTo<T>(map: Map<string, T[]>, key: string, value: T): void {
  const list = map.get(key)
  if (list) list.push(value)
  else map.set(key, [value])
}
