import { findEarliest } from '@/lib/hold/extremes'
import type { MessageKey } from '@/lib/messages/message'
import { eventKey, type ReadEvent } from './event'
import { compareByTime } from './history'
import { isCounted, type PlacedEvent } from './placing'

export const RULINGS = ['use', 'use with a note', 'cut again'] as const
export type Ruling = (typeof RULINGS)[number]

export const RULING_LABELS = {
  use: 'record.ruling.use',
  'use with a note': 'record.ruling.useWithNote',
  'cut again': 'record.ruling.cutAgain',
} as const satisfies Record<Ruling, MessageKey>

/** What was decided on a deviation. */
export interface Decision {
  ruling: Ruling
  reason: string | null
  /** Earliest reading, ms UTC. */
  at: number
  /** The key of the ruling's event. */
  key: string
}

export interface Deviation {
  /** The key of the event that reports it; rulings name it. */
  key: string
  what: string | null
  /** Earliest reading, ms UTC. */
  at: number
  /** The latest ruling on it; null if there is none. */
  decision: Decision | null
}

/** A ruling without effect: it names no counted deviation of the sample, or none of `RULINGS`. */
export interface InvalidRuling {
  key: string
  fault: 'on nothing' | 'unclear'
}

/**
 * The deviations of a sample by time, each with its latest ruling, and the rulings without effect. Only counted
 * events matter; their order does not.
 */
export function findDeviations(placed: readonly PlacedEvent[]): {
  deviations: Deviation[]
  invalidRulings: InvalidRuling[]
} {
  // Others are not sorted: a sample may have many.
  const counted = placed
    .filter((one) => (one.event.kind === 'deviation' || one.event.kind === 'ruling') && isCounted(one))
    .map((one) => one.event)
    .sort(compareByTime)
  const deviations = new Map<string, Deviation>()
  for (const event of counted)
    if (event.kind === 'deviation')
      deviations.set(eventKey(event), {
        key: eventKey(event),
        what: readTextFact(event, 'what'),
        at: event.earliestAt,
        decision: null,
      })
  const invalidRulings: InvalidRuling[] = []
  for (const event of counted) {
    if (event.kind !== 'ruling') continue
    const deviation = deviations.get(readTextFact(event, 'on') ?? '')
    const ruling = RULINGS.find((one) => one === readTextFact(event, 'ruling'))
    if (!deviation) invalidRulings.push({ key: eventKey(event), fault: 'on nothing' })
    else if (!ruling) invalidRulings.push({ key: eventKey(event), fault: 'unclear' })
    else
      deviation.decision = {
        ruling,
        reason: readTextFact(event, 'reason'),
        at: event.earliestAt,
        key: eventKey(event),
      }
  }
  return { deviations: [...deviations.values()], invalidRulings }
}

/** When a copy of the form was first sent in, ms UTC; null if none was. */
export function findFormCopyAt(placed: readonly PlacedEvent[]): number | null {
  const copies = placed.filter((one) => isCounted(one) && one.event.kind === 'form copy')
  return copies.length === 0 ? null : findEarliest(copies.map(({ event }) => event.earliestAt))
}

function readTextFact({ facts }: ReadEvent, name: string): string | null {
  const value = facts?.[name]
  return typeof value === 'string' && value.trim() !== '' ? value.trim() : null
}
