import type { ReadEvent } from '@/lib/custody/event'
import { type BodyFormat, splitItems } from './body'
import { type FieldFault, type Problem, problem } from './problem'
import { readWireEvent } from './wireEvent'

/** One item of a body: the event it is, or the problem that keeps it from being one. */
export type IntakeItem =
  /** `note` says what was not taken as it was sent. */
  | { item: number; line: number | null; event: ReadEvent; problem: null; note?: string }
  | { item: number; line: number | null; event: null; problem: Problem }

/**
 * Reads a body of events in one of the wire formats. `zoneOfPlace` gives the zone of a plant or laboratory of the
 * register. Errors: SyntaxError where the body as a whole cannot be read; TooManyItems where it has more than `most`.
 */
export function readEvents(
  text: string,
  format: BodyFormat,
  zoneOfPlace: (code: string | null) => string | null,
  most?: number,
): IntakeItem[] {
  return splitItems(text, format, most).map(({ item, line, value, fault }) => {
    const read = fault ? { faults: [{ pointer: '', ...fault }] } : readWireEvent(value, zoneOfPlace)
    return 'event' in read
      ? { item, line, event: read.event, problem: null }
      : refuseItem({ item, line }, read.faults)
  })
}

/** An item that is refused for these faults. */
export function refuseItem(
  { item, line }: Pick<IntakeItem, 'item' | 'line'>,
  faults: readonly FieldFault[],
): IntakeItem {
  const first = faults[0]?.detail ?? ''
  const more = { item, ...(line === null ? {} : { line }), errors: faults }
  return { item, line, event: null, problem: problem('event-refused', 422, 'Event refused', first, more) }
}
