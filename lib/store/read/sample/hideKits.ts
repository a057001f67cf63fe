import { toCanonical, UNSEEN_KIT } from '@/lib/custody/kitCode'
import type { SampleWithEvents } from '@/lib/custody/sample'

/** Facts that name another kit: the one that replaces the sample, and the one that an event was moved from. */
const KIT_FACTS = ['kit', 'moved from']

type Facts = Record<string, unknown> | null

/** What the events of a sample and its kit call other kits, in canonical form; a text that is no code names none. */
export function listNamedKits({ kit, events }: SampleWithEvents): string[] {
  const facts = events.flatMap(({ event }) => KIT_FACTS.map((name) => event.facts?.[name]))
  return [kit.replaces, ...facts].flatMap((text) => (typeof text === 'string' ? [toCanonical(text)] : []))
}

/**
 * The sample without the codes of other kits that are not among `seen`. An unknown code is left out as well, or whoever
 * names one would learn whether it is another maker's.
 */
export function hideKits(sample: SampleWithEvents, seen: ReadonlySet<string>): SampleWithEvents {
  const { kit, history } = sample
  const isShown = ([name, value]: [string, unknown]) =>
    !KIT_FACTS.includes(name) || typeof value !== 'string' || seen.has(toCanonical(value))
  const hideFacts = <T extends { facts: Facts }>(event: T): T => ({
    ...event,
    facts: event.facts && Object.fromEntries(Object.entries(event.facts).filter(isShown)),
  })
  return {
    ...sample,
    kit: { ...kit, replaces: hideCode(kit.replaces, seen) },
    history: {
      ...history,
      replacedBy: hideCode(history.replacedBy, seen),
      milestones: new Map(
        [...history.milestones].map(([name, one]) => [name, { ...one, events: one.events.map(hideFacts) }]),
      ),
    },
    events: sample.events.map((placed) => ({ ...placed, event: hideFacts(placed.event) })),
  }
}

/** The code of another kit as its reader is shown it. */
export function hideCode(code: string | null, seen: ReadonlySet<string>): string | null {
  return code === null || seen.has(code) ? code : UNSEEN_KIT
}
