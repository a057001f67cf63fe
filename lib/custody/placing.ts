import { addTo } from './addTo'
import { type Claim, type Dispatch, isOfSameTime, judgeClaims, type PlacingPolicy } from './claims'
import { type Corrections, judgeCorrections, type MayReport } from './corrections'
import { consignmentKey, eventKey, isOfUnknownBox, type ReadEvent } from './event'
import { splitFaultKey } from './findingKey'

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
  /** The fault of a receipt (`source/id#fault`) that it takes back, if its reporter may. */
  takesBack: string | null
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
  /** Hand-overs that name a waybill under which another maker's sample travels already. */
  waitingClaims: ReadEvent[]
}

/** As for files: everyone may report everything. */
const NO_POLICY: PlacingPolicy = { mayReport: () => true, getMaker: () => '' }

export interface CorrectedEvent {
  event: ReadEvent
  correctedBy: string[]
}

/**
 * Assigns events, in any order, to the known samples (canonical codes) at `now` (ms UTC). An event of a consignment
 * counts for every sample with a counted dispatch by the same service and waybill within 60 days whose claim on that waybill
 * stands. An event that its reporter may not report on a known sample is treated like one of an unknown sample. A box without
 * a readable code is unplaced until an event of a sample corrects it.
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
  { mayReport, getMaker }: PlacingPolicy = NO_POLICY,
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
  const taking = new Set<string>()
  const findTakenBack = (event: ReadEvent, sample: string) => {
    const { kind, corrects } = event
    if (kind !== 'withdrawn' || corrects === null || splitFaultKey(corrects) === null) return null
    if (!mayReport(event, 'received', sample)) return null
    taking.add(sample)
    return corrects
  }
  const consignments: ReadEvent[] = []
  for (const event of events) {
    if (isOfUnknownBox(event)) {
      // What takes one back needs no sample itself.
      if (event.kind !== 'withdrawn') setUnplaced(event)
    } else if (event.sample === null) consignments.push(event)
    else if (isKnown(event.sample) && mayReport(event, event.kind, event.sample))
      addTo(bySample, event.sample, {
        ...toPlacedEvent(event, event.sample, corrections, now),
        takesBack: findTakenBack(event, event.sample),
      })
    else setUnplaced(event)
    yield
  }
  const claims = judgeClaims(listDispatches(bySample, events), { mayReport, getMaker })
  for (const event of consignments) {
    const near = (claims.get(consignmentKey(event) as string) ?? []).filter(
      (claim) =>
        isOfSameTime(claim.event, event) &&
        mayReport(event, event.kind, claim.sample) &&
        (claim.isStanding || isOfClaimant(event, claim.sample, mayReport)),
    )
    for (const sample of new Set(near.map((claim) => claim.sample)))
      addTo(bySample, sample, { ...toPlacedEvent(event, sample, corrections, now), takesBack: null })
    if (near.length === 0) setUnplaced(event)
    yield
  }
  for (const sample of taking) dropTakenEvents(bySample.get(sample) ?? [])
  const waitingClaims = [...claims.values()].flatMap(listWaiting)
  return {
    bySample,
    unplaced,
    unplacedCorrected: outUnplaced,
    waitingClaims: waitingClaims.map(({ event }) => event),
  }
}

/**
 * An event of the sample that has exactly the key of a fault is withdrawn itself. Events of other samples change nothing here, or
 * this sample would have to be derived again whenever one of them comes.
 */
function dropTakenEvents(placed: readonly PlacedEvent[]): void {
  const keys = new Set(placed.map(({ event }) => eventKey(event)))
  for (const one of placed) if (one.takesBack !== null && keys.has(one.takesBack)) one.takesBack = null
}

/** The claims on one consignment that wait, and whose sample has no other of the same time that stands. */
function listWaiting(claims: readonly Claim[]): Claim[] {
  const waiting = claims.filter(({ isStanding }) => !isStanding)
  if (waiting.length === 0) return []
  const standing = new Map<string, Claim[]>()
  for (const claim of claims) if (claim.isStanding) addTo(standing, claim.sample, claim)
  return waiting.filter(
    ({ sample, event }) => !(standing.get(sample) ?? []).some((other) => isOfSameTime(other.event, event)),
  )
}

/**
 * Whether an event comes from those who hand the sample over. Their own consignment events count for their sample even while
 * its claim waits, so that it looks to them like a waybill that nobody else named.
 */
function isOfClaimant(event: ReadEvent, sample: string, mayReport: MayReport): boolean {
  return mayReport(event, 'dispatched', sample) && !mayReport(event, 'dispatched', null)
}

/** Hand-overs that name a consignment, whose time has come. */
function listDispatches(
  bySample: ReadonlyMap<string, PlacedEvent[]>,
  events: readonly ReadEvent[],
): Dispatch[] {
  const found = [...bySample].flatMap(([sample, placed]) =>
    placed
      .filter(
        ({ event, isAhead }) => event.kind === 'dispatched' && !isAhead && consignmentKey(event) !== null,
      )
      .map((one) => ({ sample, ...one })),
  )
  const replacing = new Set(found.flatMap(({ correctedBy }) => correctedBy))
  const acceptedAt = new Map<string, number>()
  if (replacing.size > 0)
    for (const event of events) {
      const key = eventKey(event)
      if (replacing.has(key)) acceptedAt.set(key, event.acceptedAt ?? Number.NEGATIVE_INFINITY)
    }
  const isEarlier = (key: string, other: string) =>
    (acceptedAt.get(key) as number) < (acceptedAt.get(other) as number)
  return found.map(({ sample, event, isLooping, correctedBy }) => ({
    sample,
    event,
    isLooping,
    isCounted: correctedBy.length === 0,
    // They are sorted by key, so of two that came at once it is the same one in any order.
    replacedBy: correctedBy.reduce<string | null>(
      (first, key) => (first === null || isEarlier(key, first) ? key : first),
      null,
    ),
  }))
}

function toPlacedEvent(
  event: ReadEvent,
  sample: string,
  corrections: Corrections,
  now: number,
): Omit<PlacedEvent, 'takesBack'> {
  return {
    event,
    correctedBy: corrections.findCorrectors(event, sample),
    isAhead: event.earliestAt > now,
    isByConsignment: event.sample === null,
    isLooping: corrections.looping.size > 0 && corrections.looping.has(eventKey(event)),
  }
}
