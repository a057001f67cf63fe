import type { ReadEvent } from './event'
import { isReadingFault, readAcceptedTime, readTime } from './reading'

/** The facts of an `extended` event. */
export interface Extension {
  limit: string
  /** The new due, ms UTC: a local date means through its end. */
  untilAt: number
}

/**
 * What an `extended` event grants, or a sentence on what its facts lack. `until` is read as `at` is, in the event's
 * zone or place; where it can mean two instants the earlier stands, but a date runs through its end.
 */
export function readExtension(
  event: { facts: Record<string, unknown> | null; zone: string | null },
  placeZone: string | null,
  read: typeof readTime = readTime,
): Extension | { field: 'facts'; detail: string; right: string } {
  const { limit, until } = event.facts ?? {}
  if (typeof limit !== 'string' || limit === '')
    return {
      field: 'facts',
      detail: 'An extension names the limit it extends.',
      right: 'Add facts.limit, the name of the limit.',
    }
  if (typeof until !== 'string')
    return {
      field: 'facts',
      detail: 'An extension says until when.',
      right: 'Add facts.until, a time or a date.',
    }
  const reading = read(until, event.zone, placeZone)
  if (isReadingFault(reading))
    return {
      field: 'facts',
      detail: `facts.until: ${reading.detail}`,
      right: reading.right.replace('`at`', 'facts.until'),
    }
  const isDate = /^\d{4}-\d{2}-\d{2}$/.test(until)
  return { limit, untilAt: isDate ? reading.latestAt : reading.earliestAt }
}

/** The standing extension of each limit: of several the one with the latest `at`, then by source and id. */
export function findExtensions(
  events: readonly ReadEvent[],
  zoneOfPlace: (code: string | null) => string | null,
): Map<string, { untilAt: number; event: ReadEvent }> {
  const found = new Map<string, { untilAt: number; event: ReadEvent }>()
  for (const event of events) {
    if (event.kind !== 'extended') continue
    const extension = readExtension(event, zoneOfPlace(event.place), readAcceptedTime)
    if ('detail' in extension) continue
    const known = found.get(extension.limit)
    if (!known || isLater(event, known.event))
      found.set(extension.limit, { untilAt: extension.untilAt, event })
  }
  return found
}

function isLater(a: ReadEvent, b: ReadEvent): boolean {
  if (a.earliestAt !== b.earliestAt) return a.earliestAt > b.earliestAt
  if (a.source !== b.source) return a.source > b.source
  return a.id > b.id
}
