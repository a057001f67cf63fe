import { keyOf, type ReadEvent } from '@/lib/custody/event'
import type { Register } from '@/lib/custody/register'
import { readWireEvent } from '@/lib/intake/formats/wireEvent'
import type { HandItem } from './acceptByHand'

/** What is changed of an event that is reported anew because it belongs elsewhere. */
export interface Move {
  /** The kit it belongs to; or, for one of a consignment, the waybill it travels under. */
  sample: string | null
  service?: string | null
  waybill?: string | null
  reason: string
}

/**
 * The same event reported anew as a person's, where it belongs: it takes the old one out of the count, and says where it was
 * moved from and why.
 */
export function movedEvent(
  event: ReadEvent,
  move: Move,
  writer: { source: string; id: string },
  register: Register,
): HandItem {
  const from = event.sample ?? `${event.service} ${event.waybill}`
  const read = readWireEvent(
    {
      source: writer.source,
      id: writer.id,
      sample: move.sample ?? undefined,
      kind: event.kind,
      at: event.at,
      zone: event.zone ?? undefined,
      place: event.place ?? undefined,
      service: move.service ?? event.service ?? undefined,
      waybill: move.waybill ?? event.waybill ?? undefined,
      product: event.product ?? undefined,
      lot: event.lot ?? undefined,
      corrects: keyOf(event),
      facts: { ...event.facts, 'moved from': from, 'moved because': move.reason },
    },
    (place) => register.zoneOfPlace(place),
  )
  return 'event' in read
    ? read
    : { faults: read.faults.map(({ detail }) => ({ field: 'reason' as const, detail })) }
}
