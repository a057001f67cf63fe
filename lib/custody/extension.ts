import type { Grant } from '@/lib/hold/clock'
import { type Message, message } from '@/lib/messages/message'
import { addTo } from './addTo'
import type { ReadEvent } from './event'
import { isReadingFault, nameField, readAcceptedTime, readTime } from './reading'

/** The facts of an `extended` event. */
export interface Extension {
  limit: string
  /** The new due, ms UTC: a local date means through its end. */
  untilAt: number
}

/** What the facts of an `extended` event lack, and the cure. */
export interface ExtensionFault {
  fact: 'limit' | 'until'
  detail: Message
  right: Message
}

/**
 * Reads what an `extended` event grants. `until` is read like `at`, in the event's zone or place. If it can mean two
 * instants the earlier counts; a date runs through its end.
 */
export function readExtension(
  event: { facts: Record<string, unknown> | null; zone: string | null },
  placeZone: string | null,
  read: typeof readTime = readTime,
): Extension | ExtensionFault {
  const { limit, until } = event.facts ?? {}
  if (typeof limit !== 'string' || limit === '')
    return {
      fact: 'limit',
      detail: message('extension.noLimit'),
      right: message('extension.fix.limit'),
    }
  if (typeof until !== 'string')
    return {
      fact: 'until',
      detail: message('extension.noUntil'),
      right: message('extension.fix.until'),
    }
  const reading = read(until, event.zone, placeZone)
  if (isReadingFault(reading))
    return {
      fact: 'until',
      detail: message('extension.until', { fault: reading.detail }),
      right: nameField(reading.right, 'facts.until'),
    }
  const isDate = /^\d{4}-\d{2}-\d{2}$/.test(until)
  return { limit, untilAt: isDate ? reading.latestAt : reading.earliestAt }
}

/** The extensions of each limit by `at`, then by source and id: of those that its clock lets count, the last stands. */
export function findGrants(
  events: readonly ReadEvent[],
  getZone: (code: string | null) => string | null,
): Map<string, Grant[]> {
  const found = new Map<string, Grant[]>()
  for (const event of events.filter(({ kind }) => kind === 'extended').sort(compareBySource)) {
    const extension = readExtension(event, getZone(event.place), readAcceptedTime)
    if (!('detail' in extension))
      addTo(found, extension.limit, { grantedAt: event.earliestAt, untilAt: extension.untilAt })
  }
  return found
}

function compareBySource(a: ReadEvent, b: ReadEvent): number {
  if (a.earliestAt !== b.earliestAt) return a.earliestAt - b.earliestAt
  if (a.source !== b.source) return a.source < b.source ? -1 : 1
  return a.id < b.id ? -1 : 1
}
