import { type CustodyEvent, eventKey, isRestricted } from './event'

/** What a set of events takes out of the count. */
export interface Corrections {
  /** The keys, in order, of the events that take this event out of the count of `sample`; empty where it stays in. */
  findCorrectors(event: CustodyEvent, sample: string | null): string[]
  /** Keys of events that correct each other in a loop: they count as if they corrected nothing. */
  looping: ReadonlySet<string>
}

/**
 * Judges every correction of a set of events at once, in no order. Once out, out: a corrector works even if it is
 * itself corrected or withdrawn, whatever its time and kind, across samples. A consignment's event corrected by one
 * that names a sample is out for that sample only. A reporter corrects only what it may report: `maySpeak` says whether
 * the reporter of an event may speak of a sample. An event of a sample of which its own reporter may not speak is
 * judged as one of an unknown sample, whether the sample is known or not.
 */
export function judgeCorrections(
  events: readonly CustodyEvent[],
  maySpeak: (event: CustodyEvent, sample: string) => boolean = () => true,
): Corrections {
  const correcting = events.filter((event) => event.corrects !== null)
  const target = new Map(correcting.map((event) => [eventKey(event), event.corrects as string]))
  const looping = findLoops(target)
  const correctors = new Map<string, CustodyEvent[]>()
  for (const event of correcting) {
    if (looping.has(eventKey(event))) continue
    const key = event.corrects as string
    const known = correctors.get(key)
    if (known) known.push(event)
    else correctors.set(key, [event])
  }
  return {
    looping,
    findCorrectors(event, sample) {
      if (correctors.size === 0) return []
      const found = correctors.get(eventKey(event)) ?? []
      const isForAll = (by: CustodyEvent) => event.sample !== null || by.sample === null
      // What may not be said of a sample is as of an unknown one, to whoever corrects it too: it is for those who may
      // speak of everything, and for its own source, which may put right its slip.
      const isOfNone = sample === null || !maySpeak(event, sample)
      const mayCorrect = (by: CustodyEvent) =>
        (by.reporter?.kinds?.includes(event.kind) ?? true) &&
        (isOfNone ? by.source === event.source || !isRestricted(by) : maySpeak(by, sample))
      return found
        .filter((by) => (isForAll(by) || by.sample === sample) && mayCorrect(by))
        .map(eventKey)
        .sort()
    },
  }
}

/** The keys that lie on a loop of `target` (each key points to one other at most). */
function findLoops(target: ReadonlyMap<string, string>): Set<string> {
  const looping = new Set<string>()
  const walkOf = new Map<string, number>()
  let walk = 0
  for (const start of target.keys()) {
    walk += 1
    let key: string | undefined = start
    while (key !== undefined && !walkOf.has(key)) {
      walkOf.set(key, walk)
      key = target.get(key)
    }
    // Back on a key of this same walk: from there on it is a loop.
    if (key === undefined || walkOf.get(key) !== walk) continue
    const entry = key
    do {
      looping.add(key)
      key = target.get(key) as string
    } while (key !== entry)
  }
  return looping
}
