import { createHash } from 'node:crypto'
import { keyOf, type ReadEvent } from '@/lib/custody/event'
import type { Register } from '@/lib/custody/register'
import type { HandFault } from '@/lib/intake/hand/handEvent'
import { type Person, scopeOf } from '@/lib/policy/principal'
import { handSource, reportingOf } from '@/lib/policy/reporting'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import type { ActEvent } from '@/lib/store/read/sample/byHand'
import { eventsOfAct } from '@/lib/store/read/sample/byHand'
import type { Actor } from '@/lib/store/scope/audit'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import type { Outcome } from './outcome'

export type HandItem = { event: ReadEvent } | { faults: HandFault[] }

/**
 * Accepts what a person recorded in one act, all of it or nothing. An event whose key is taken was recorded by the
 * same form before, whatever the time then was: the first stands. `what` names the act in the record.
 */
export async function acceptByHand(
  person: Person,
  act: { actor: Actor; token: string; what: string; more?: Record<string, unknown> },
  read: (register: Register) => HandItem[],
  now: number,
): Promise<Outcome> {
  const results = await acceptEvents(
    sharedPool(),
    (register) => {
      const items = read(register)
      const isWhole = items.every((item) => 'event' in item)
      return items.map((item) =>
        isWhole && 'event' in item
          ? { event: item.event, faults: [] }
          : { event: null, faults: 'faults' in item ? item.faults : [] },
      )
    },
    reportingOf(person),
    now,
    {
      actor: act.actor,
      lines: (accepted) =>
        accepted.map((event) => ({
          what: act.what,
          subject: event.sample,
          after: {
            event: keyOf(event),
            kind: event.kind,
            at: event.at,
            corrects: event.corrects,
            ...act.more,
          },
        })),
    },
  )
  const faults = results.flatMap(({ item }) => item.faults)
  if (faults.length > 0) return { kind: 'refused', faults }
  const isNew = results.some(({ acceptance }) => acceptance === 'accepted' || acceptance === 'unplaced')
  return {
    kind: isNew ? 'recorded' : 'already known',
    token: act.token,
    events: results.flatMap(({ item }) => (item.event ? [keyOf(item.event)] : [])),
  }
}

/** As whom and by which name an event of an act is recorded: `about` is the kit code or, in short, the event that it concerns. */
export function writerOf(person: Person, token: string, about: string) {
  return { source: handSource(person), id: `${token} ${about}`, name: person.name }
}

/** A short name of an event that a correction concerns, for the correction's own id. */
export function shortOf(key: string): string {
  return createHash('sha256').update(key).digest('hex').slice(0, 16)
}

/** The keys of what the same form recorded before, if it was sent already. */
export async function recordedBefore(person: Person, token: string, now: number): Promise<ActEvent[]> {
  return eventsOfAct(sharedPool(), scopeOf(person), handSource(person), token, now)
}
