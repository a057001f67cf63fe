import { eventKey, type ReadEvent, serializeContent } from './event'
import { placeEvents } from './placing'
import type { Kit, Register } from './register'
import { deriveSample, type SampleWithEvents } from './sample'

/** Two events of one key with different content. */
export interface Conflict {
  key: string
  events: [ReadEvent, ReadEvent]
}

/** Drops duplicate events. A conflict names the first event of a key and the first whose content differs. */
export function deduplicateEvents(events: readonly ReadEvent[]): {
  events: ReadEvent[]
  conflicts: Conflict[]
} {
  const first = new Map<string, { event: ReadEvent; content: string }>()
  const conflicts = new Map<string, Conflict>()
  for (const event of events) {
    const key = eventKey(event)
    const content = serializeContent(event)
    const known = first.get(key)
    if (!known) first.set(key, { event, content })
    else if (known.content !== content && !conflicts.has(key))
      conflicts.set(key, { key, events: [known.event, event] })
  }
  return { events: [...first.values()].map(({ event }) => event), conflicts: [...conflicts.values()] }
}

/** All samples of the given kits at `now` (ms UTC), by kit code. The events must be without repetitions. */
export function deriveSamples(
  events: readonly ReadEvent[],
  kits: ReadonlyMap<string, Kit>,
  register: Register,
  now: number,
): SampleWithEvents[] {
  const { bySample } = placeEvents(events, (code) => kits.has(code), now)
  return [...kits.values()]
    .sort((a, b) => (a.code < b.code ? -1 : 1))
    .map((kit) => deriveSample(kit, bySample.get(kit.code) ?? [], register, now))
}
