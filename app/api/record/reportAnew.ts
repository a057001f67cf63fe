import { type ReadEvent, UNDONE_CHANGE } from '@/lib/custody/event'
import type { Register } from '@/lib/custody/register'
import { type ParsedEvent, parseManualEvent } from './recordEvents'

/** What changes in an event that is reported anew. */
interface Anew {
  /** The kit it belongs to; null for an event of a consignment, which names its service and waybill instead. */
  sample: string | null
  service?: string | null
  waybill?: string | null
  /** The key of the event that it takes the place of. */
  corrects: string
  /** Why, to be kept with the event. */
  facts: Record<string, string>
}

/** The same event reported anew by a person, in place of another. */
export function reportAnew(
  event: ReadEvent,
  { sample, service, waybill, corrects, facts }: Anew,
  author: { source: string; id: string },
  register: Register,
): ParsedEvent {
  const { [UNDONE_CHANGE]: _, ...kept } = event.facts ?? {}
  return parseManualEvent(
    {
      source: author.source,
      id: author.id,
      sample: sample ?? undefined,
      kind: event.kind,
      at: event.at,
      zone: event.zone ?? undefined,
      place: event.place ?? undefined,
      service: service ?? event.service ?? undefined,
      waybill: waybill ?? event.waybill ?? undefined,
      product: event.product ?? undefined,
      lot: event.lot ?? undefined,
      corrects,
      facts: { ...kept, ...facts },
    },
    register,
  )
}
