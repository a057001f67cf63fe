import { DAY } from '@/lib/hold/zone'
import { type Corrections, judgeCorrections } from './corrections'
import { type CustodyEvent, consignmentKey, eventKey, type ReadEvent } from './event'

/** Maximum distance between a dispatch and an event of its consignment, by earliest readings, ms. */
const CONSIGNMENT_SPAN = 60 * DAY

/** An event as it applies to one sample. */
export interface PlacedEvent {
  event: ReadEvent
  /** Keys of the events that take it out of the count of this sample. */
  correctedBy: string[]
  /** It is dated in the future, and counts when its time comes. */
  isAhead: boolean
  /** It is about the consignment in which the sample travels. */
  isByConsignment: boolean
  /** It is in a loop of corrections, none of which has an effect. */
  isLooping: boolean
}

/** Whether an event counts: it is neither corrected nor in the future. */
export function isCounted(placed: PlacedEvent): boolean {
  return placed.correctedBy.length === 0 && !placed.isAhead
}

/** Whether an event can be moved to another kit: it names this one, is not corrected, and is no withdrawal. */
export function canBeMoved({ event, correctedBy }: PlacedEvent): boolean {
  return event.sample !== null && correctedBy.length === 0 && event.kind !== 'withdrawn'
}

export interface Placement {
  bySample: Map<string, PlacedEvent[]>
  /** Events that match no known sample and are not corrected. */
  unplaced: ReadEvent[]
  /** Events that match no known sample and are corrected. */
  unplacedCorrected: CorrectedEvent[]
}

export interface CorrectedEvent {
  event: ReadEvent
  correctedBy: string[]
}

/**
 * Assigns events, in any order, to the known samples (canonical codes) at `now` (ms UTC). An event of a consignment
 * counts for every sample with a counted dispatch by the same service and waybill within 60 days. `mayReport` says
 * whether the reporter of an event may report on a known sample; if not, the event is treated like one of an unknown
 * sample.
 */
export function placeEvents(...input: Parameters<typeof placeEventsInSteps>): Placement {
  const steps = placeEventsInSteps(...input)
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
  }
}

/** The same, with a short step for each event, so that the caller can pause. */
export function* placeEventsInSteps(
  events: readonly ReadEvent[],
  isKnown: (code: string) => boolean,
  now: number,
  mayReport: (event: CustodyEvent, sample: string) => boolean = () => true,
): Generator<undefined, Placement> {
  const corrections = judgeCorrections(events, mayReport)
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
    else if (isKnown(event.sample) && mayReport(event, event.sample))
      addTo(bySample, event.sample, toPlacedEvent(event, event.sample, corrections, now))
    else setUnplaced(event)
    yield
  }
  const travelling = consignments.length > 0 ? findDispatches(bySample) : new Map<string, Dispatch[]>()
  for (const event of consignments) {
    const near = (travelling.get(consignmentKey(event) as string) ?? []).filter(
      ({ sample, earliestAt }) =>
        Math.abs(earliestAt - event.earliestAt) <= CONSIGNMENT_SPAN && mayReport(event, sample),
    )
    for (const sample of new Set(near.map((dispatch) => dispatch.sample)))
      addTo(bySample, sample, toPlacedEvent(event, sample, corrections, now))
    if (near.length === 0) setUnplaced(event)
    yield
  }
  return { bySample, unplaced, unplacedCorrected: outUnplaced }
}

interface Dispatch {
  sample: string
  earliestAt: number
}

/** Counted dispatches that name both service and waybill, by consignment key. */
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
