import { findEarliest } from '@/lib/hold/extremes'
import { type Message, type MessageKey, message } from '@/lib/messages/message'
import { eventKey, type ReadEvent } from './event'
import type { Grade } from './grade'
import { compareByTime } from './history'
import { isCounted, type PlacedEvent } from './placing'

export const RULINGS = ['use', 'use with a note', 'cut again'] as const
export type Ruling = (typeof RULINGS)[number]

export const RULING_LABELS = {
  use: 'record.ruling.use',
  'use with a note': 'record.ruling.useWithNote',
  'cut again': 'record.ruling.cutAgain',
} as const satisfies Record<Ruling, MessageKey>

/** What was decided on a finding. */
export interface Decision {
  ruling: Ruling
  reason: string | null
  /** Earliest reading, ms UTC. */
  at: number
  /** The key of the ruling's event. */
  key: string
}

/** Something that was found wrong with a sample, reported or following from its events. */
export interface Finding {
  /** What rulings name: the key of the event that reports it, or that or a limit's name with `#` and a fault. */
  key: string
  grade: Grade
  /** What was found, without a full stop. */
  what: Message
  /** Earliest reading, ms UTC. */
  at: number
  /** The latest ruling on it; null if there is none. */
  decision: Decision | null
}

/** A ruling without effect: it names no finding of the sample, or none of `RULINGS`. */
export interface InvalidRuling {
  key: string
  fault: 'on nothing' | 'unclear'
}

/** Whether a finding waits for a ruling at `now` (ms UTC). */
export function isUnruled({ grade, decision, at }: Finding, now: number): boolean {
  return grade === 'hold' && decision === null && at <= now
}

/** The findings of a sample that wait for a ruling at `now` (ms UTC), by time. */
export function listUnruled(findings: readonly Finding[], now: number): Finding[] {
  return findings.filter((finding) => isUnruled(finding, now))
}

/**
 * The findings of a sample by time, each with its latest ruling, and the rulings without effect. Only counted
 * events matter; their order does not.
 */
export function readFindings(placed: readonly PlacedEvent[]): {
  findings: Finding[]
  invalidRulings: InvalidRuling[]
} {
  // Others are not sorted: a sample may have many.
  const counted = placed
    .filter((one) => (one.event.kind === 'deviation' || one.event.kind === 'ruling') && isCounted(one))
    .map((one) => one.event)
    .sort(compareByTime)
  const findings = new Map<string, Finding>()
  for (const event of counted)
    if (event.kind === 'deviation')
      findings.set(eventKey(event), {
        key: eventKey(event),
        grade: 'hold',
        what: describeDeviation(event),
        at: event.earliestAt,
        decision: null,
      })
  const invalidRulings: InvalidRuling[] = []
  for (const event of counted) {
    if (event.kind !== 'ruling') continue
    const finding = findings.get(readTextFact(event, 'on') ?? '')
    const ruling = RULINGS.find((one) => one === readTextFact(event, 'ruling'))
    if (!finding) invalidRulings.push({ key: eventKey(event), fault: 'on nothing' })
    else if (!ruling) invalidRulings.push({ key: eventKey(event), fault: 'unclear' })
    else
      finding.decision = {
        ruling,
        reason: readTextFact(event, 'reason'),
        at: event.earliestAt,
        key: eventKey(event),
      }
  }
  return { findings: [...findings.values()], invalidRulings }
}

function describeDeviation(event: ReadEvent): Message {
  const what = readTextFact(event, 'what')
  return what === null ? message('finding.unspecified') : message('finding.reported', { what })
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
