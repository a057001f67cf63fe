import { KINDS, type Side } from './eventKinds'
import { toCanonical } from './kitCode'
import type { Reading } from './reading'

export type EventKind = keyof typeof KINDS

/** In the order of the table. */
export const EVENT_KINDS = Object.keys(KINDS) as readonly EventKind[]

export function isEventKind(text: string): text is EventKind {
  return Object.hasOwn(KINDS, text)
}

/** One reported fact about a sample, as accepted. It never changes and is never deleted. */
export interface CustodyEvent {
  source: string
  id: string
  /** Canonical kit code; null if the event is about a consignment, or about a box without a readable code. */
  sample: string | null
  kind: EventKind
  /** As sent: an instant, a local time or a local date. */
  at: string
  zone: string | null
  place: string | null
  service: string | null
  /** As sent; compared in canonical form. */
  waybill: string | null
  product: string | null
  lot: string | null
  /** `source/id` of the event that this one takes out of the count. */
  corrects: string | null
  facts: Record<string, unknown> | null
  /** When the source wrote the event down, ms UTC. */
  reportedAt: number | null
  /** Whoever reported it; absent or null: a file. */
  reporter?: Reporter | null
  /** When it was accepted, ms UTC; absent or null in a file. */
  acceptedAt?: number | null
}

/** For whom someone reports, and what. What it means is for the policy to say. */
export interface Reporter {
  /**
   * The sides they speak for, each at its own places; null: none, as for a file, imported history, and whatever was reported
   * before sides were kept.
   */
  sides: readonly Side[] | null
  /** The kinds that were named; null: those of the side, or without a side all. */
  kinds: readonly string[] | null
  /** The plants for which they speak. Without a side: samples of these plants or bound for these laboratories, or all if both are null. */
  plants: readonly string[] | null
  /** The laboratories for which they speak. */
  laboratories: readonly string[] | null
}

export interface ReadEvent extends CustodyEvent, Reading {}

/** The fact of an event that is reported as it was before a change that was undone. */
export const UNDONE_CHANGE = 'undone change'

/** `source/id`. A source has no slash, so the key can be split at the first one. */
export function eventKey(event: { source: string; id: string }): string {
  return `${event.source}/${event.id}`
}

/** The canonical key of the consignment that an event names; null without both service and waybill. */
export function consignmentKey(event: { service: string | null; waybill: string | null }): string | null {
  return event.service !== null && event.waybill !== null
    ? `${event.service}\u0000${toCanonical(event.waybill)}`
    : null
}

/** Whether an event names neither a kit nor a consignment: it is about a box without a readable code, at its place. */
export function isOfUnknownBox(event: Pick<CustodyEvent, 'sample' | 'service' | 'waybill'>): boolean {
  return event.sample === null && consignmentKey(event) === null
}

/**
 * The content of an event as a comparable text: two events of one key with different content conflict. Codes and
 * waybills are canonical, `at` is as sent, empty counts as absent and facts are sorted by key. `reportedAt` is left
 * out, since a source that sends an event again may write a new one.
 */
export function serializeContent(event: CustodyEvent): string {
  return JSON.stringify([
    event.sample,
    event.kind,
    event.at,
    event.zone,
    event.place,
    event.service,
    event.waybill === null ? null : toCanonical(event.waybill),
    event.product,
    event.lot,
    event.corrects,
    sortKeys(event.facts ?? {}),
  ])
}

function sortKeys(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sortKeys)
  if (value === null || typeof value !== 'object') return value
  const entries = Object.entries(value)
    .filter(([, member]) => member !== null && member !== '')
    .sort(([a], [b]) => (a < b ? -1 : 1))
  return Object.fromEntries(entries.map(([key, member]) => [key, sortKeys(member)]))
}

/** A reporter with its name in the audit log (null: none). */
export interface NamedReporter extends Reporter {
  by: string | null
}

/** The reporter of what the programme itself reports. */
export const UNRESTRICTED: NamedReporter = {
  by: null,
  sides: null,
  kinds: null,
  plants: null,
  laboratories: null,
}
