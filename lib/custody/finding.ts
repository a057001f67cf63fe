import type { Clock } from '@/lib/hold/clock'
import { findLatest } from '@/lib/hold/extremes'
import type { Message, MessageKey } from '@/lib/messages/message'
import { addTo } from './addTo'
import { eventKey, type ReadEvent } from './event'
import type { Grade } from './grade'
import { compareByTime, type History } from './history'
import { isCounted, type PlacedEvent } from './placing'
import { listReceiptFaults } from './receiptFaults'
import type { LimitsInForce } from './register'
import {
  listArrivals,
  listClockFindings,
  listDeviations,
  listRejectionsTakenBack,
  type Telling,
} from './telling'
import { readTextFact } from './textFact'

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
  /** What rulings name: the key of the event that reports it, or that or a limit's name with `#` and what was found. */
  key: string
  /** The same, told again: rulings may name these keys as well. The first is `key`. */
  keys: readonly string[]
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

/** What findings follow from, besides the events themselves. */
export interface FindingBasis {
  history: History
  clocks: readonly Clock[]
  /** Of the sample's protocol, earliest first. */
  versions: readonly LimitsInForce[]
}

/**
 * The findings of a sample by time, each with its latest ruling, and the rulings without effect. The order of the events
 * does not matter.
 */
export function readFindings(
  placed: readonly PlacedEvent[],
  { history, clocks, versions }: FindingBasis,
): { findings: Finding[]; invalidRulings: InvalidRuling[] } {
  const findings = joinTellings([
    ...listDeviations(placed),
    ...listReceiptFaults(placed, versions),
    ...listClockFindings(clocks, history),
    ...listArrivals(history),
    ...listRejectionsTakenBack(placed),
  ])
  return { findings, invalidRulings: applyRulings(findings, placed) }
}

/** The same told more than once is one finding, known by the first telling, and as grave as the gravest. */
function joinTellings(tellings: readonly Telling[]): Finding[] {
  const sorted = [...tellings].sort((a, b) => a.at - b.at || (a.key < b.key ? -1 : 1))
  const bySame = new Map<string, Telling[]>()
  for (const telling of sorted) addTo(bySame, telling.same, telling)
  return [...bySame.values()].map((told) => {
    const { key, what, at } = told[0] as Telling
    const grade = told.some((one) => one.grade === 'hold') ? 'hold' : 'note'
    return { key, keys: told.map((one) => one.key), grade, what, at, decision: null }
  })
}

/** Gives each finding its latest ruling, and returns the rulings without effect. */
function applyRulings(findings: readonly Finding[], placed: readonly PlacedEvent[]): InvalidRuling[] {
  const byKey = new Map<string, Finding>()
  const reported = new Set(findings.length > 0 ? placed.map(({ event }) => eventKey(event)) : [])
  // An event that has exactly this key comes before the fault of another.
  const ordered = [
    ...findings.filter(({ key }) => reported.has(key)),
    ...findings.filter(({ key }) => !reported.has(key)),
  ]
  for (const finding of ordered) for (const key of finding.keys) if (!byKey.has(key)) byKey.set(key, finding)
  const invalid: InvalidRuling[] = []
  // Others are not sorted: a sample may have many.
  const rulings = placed
    .filter((one) => one.event.kind === 'ruling' && isCounted(one))
    .map((one) => one.event)
    .sort(compareByTime)
  for (const event of rulings) {
    const key = eventKey(event)
    const named = findNamed(event, byKey)
    const ruling = RULINGS.find((one) => one === readTextFact(event, 'ruling'))
    if (named.size === 0) invalid.push({ key, fault: 'on nothing' })
    else if (!ruling) invalid.push({ key, fault: 'unclear' })
    else
      for (const finding of named)
        finding.decision = { ruling, reason: readTextFact(event, 'reason'), at: event.earliestAt, key }
  }
  return invalid
}

/** The findings that a ruling names: `on` is one key or an array of them. */
function findNamed({ facts }: ReadEvent, byKey: ReadonlyMap<string, Finding>): ReadonlySet<Finding> {
  const on = facts?.on
  const named = new Set<Finding>()
  for (const key of Array.isArray(on) ? on : [on]) {
    const finding = typeof key === 'string' ? byKey.get(key.trim()) : undefined
    if (finding) named.add(finding)
  }
  return named
}

/** When a copy of the form was last sent in, by its latest reading, ms UTC; null if none was. */
export function findFormCopyAt(placed: readonly PlacedEvent[]): number | null {
  const copies = placed.filter((one) => isCounted(one) && one.event.kind === 'form copy')
  return copies.length === 0 ? null : findLatest(copies.map(({ event }) => event.latestAt))
}
