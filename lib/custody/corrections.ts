import { addTo } from './addTo'
import { type CustodyEvent, type EventKind, eventKey, isOfUnknownBox } from './event'

/**
 * Whether the reporter of an event may report a kind on a sample, or (null) on one that nobody knows yet, and so take out
 * `takenOut`, which is of that kind. The policy answers.
 */
export type MayReport = (
  event: CustodyEvent,
  kind: EventKind,
  sample: string | null,
  takenOut?: CustodyEvent,
) => boolean

/** Which events are out of the count. */
export interface Corrections {
  /** The keys, in order, of the events that take this event out of the count of `sample`; empty if it counts. */
  findCorrectors(event: CustodyEvent, sample: string | null): string[]
  /** Keys of events that correct each other in a loop. They count as if they corrected nothing. */
  looping: ReadonlySet<string>
}

/**
 * Judges all corrections of a set of events at once, in any order. A correction works for good, even if it is
 * corrected or withdrawn itself, whatever its time, kind and sample. A consignment's event that is corrected by one
 * of a sample is out for that sample only. Reporters correct only what they may report: `mayReport` is asked for the kind of
 * the event that goes out. An event whose reporter may not report it on its sample is treated like one of an unknown sample.
 */
export function judgeCorrections(
  events: readonly CustodyEvent[],
  mayReport: MayReport = () => true,
): Corrections {
  const correcting = events.filter((event) => event.corrects !== null)
  const target = new Map(correcting.map((event) => [eventKey(event), event.corrects as string]))
  const looping = findLoops(target)
  const correctors = new Map<string, CustodyEvent[]>()
  for (const event of correcting) {
    if (looping.has(eventKey(event))) continue
    addTo(correctors, event.corrects as string, event)
  }
  return {
    looping,
    findCorrectors(event, sample) {
      if (correctors.size === 0) return []
      const found = correctors.get(eventKey(event)) ?? []
      // A box without a code is of one sample, whichever it turns out to be.
      const isForAll = (by: CustodyEvent) =>
        event.sample !== null || by.sample === null || isOfUnknownBox(event)
      // Then only its own source, and reporters without restrictions, may correct it.
      const isUnknown = sample === null || !mayReport(event, event.kind, sample)
      const mayCorrect = (by: CustodyEvent) =>
        (isUnknown && by.source === event.source) ||
        mayReport(by, event.kind, isUnknown ? null : sample, event)
      return found
        .filter((by) => (isForAll(by) || by.sample === sample) && mayCorrect(by))
        .map(eventKey)
        .sort()
    },
  }
}

/** Finds the keys on a loop; each key points to at most one other. */
function findLoops(target: ReadonlyMap<string, string>): Set<string> {
  const looping = new Set<string>()
  const walks = new Map<string, number>()
  let walk = 0
  for (const start of target.keys()) {
    walk += 1
    let key: string | undefined = start
    while (key !== undefined && !walks.has(key)) {
      walks.set(key, walk)
      key = target.get(key)
    }
    // A key of this same walk again: the loop begins here.
    if (key === undefined || walks.get(key) !== walk) continue
    const entry = key
    do {
      looping.add(key)
      key = target.get(key) as string
    } while (key !== entry)
  }
  return looping
}
