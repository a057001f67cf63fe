import { KINDS } from './eventKinds'
import { toCanonical } from './kitCode'
import type { Reading } from './reading'

export type EventKind = keyof typeof KINDS

/** The kinds of events in the order of their table. */
export const EVENT_KINDS = Object.keys(KINDS) as readonly EventKind[]

export function isEventKind(text: string): text is EventKind {
  return Object.hasOwn(KINDS, text)
}

/** One reported fact about a sample, as accepted: never changed and never deleted. */
export interface CustodyEvent {
  source: string
  id: string
  /** Canonical kit code; null where the event speaks of a consignment. */
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
  /** When the source says it wrote the event down, ms UTC. */
  reportedAt: number | null
  /** Of what its reporter may speak; absent or null: of everything, as in a file. */
  reporter?: Reporter | null
}

/**
 * Of what a reporter may speak: only these kinds (null: every one), and only of samples of these plants or bound for
 * these laboratories (both null: of every sample).
 */
export interface Reporter {
  kinds: readonly string[] | null
  plants: readonly string[] | null
  laboratories: readonly string[] | null
}

/** Whether the reporter of an event may speak of some samples only. */
export function isRestricted({ reporter }: CustodyEvent): boolean {
  return reporter != null && (reporter.plants !== null || reporter.laboratories !== null)
}

/** Whether the reporter of an event may speak of the sample of a kit. A kit that is not known is nobody's. */
export function mayReportOn(
  event: CustodyEvent,
  kit: { plant: string; laboratory: string } | undefined,
): boolean {
  if (!isRestricted(event)) return true
  const { plants, laboratories } = event.reporter as Reporter
  return (
    kit !== undefined && ((plants ?? []).includes(kit.plant) || (laboratories ?? []).includes(kit.laboratory))
  )
}

/** An event whose `at` has been read against the register. */
export interface ReadEvent extends CustodyEvent, Reading {}

/** The name an event is known by: `source/id`. A source has no slash, so it can be split at the first one. */
export function eventKey(event: { source: string; id: string }): string {
  return `${event.source}/${event.id}`
}

/** The consignment an event names, as a comparable key; null where it does not name both service and waybill. */
export function consignmentKey(event: { service: string | null; waybill: string | null }): string | null {
  return event.service !== null && event.waybill !== null
    ? `${event.service}\u0000${toCanonical(event.waybill)}`
    : null
}

/**
 * The content of an event in one comparable text: two events of one key with different content conflict. Codes
 * and waybills are canonical, `at` is as sent, what is empty counts as absent, facts are sorted by key, and
 * `reportedAt` is left out, since a source that repeats itself may well write a new one.
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

/** Who reports, as the audit names them (null: nobody in particular), and of what they may speak. */
export interface NamedReporter extends Reporter {
  by: string | null
}

/** Reports that may be of everything: the programme's own. */
export const UNRESTRICTED: NamedReporter = { by: null, kinds: null, plants: null, laboratories: null }
