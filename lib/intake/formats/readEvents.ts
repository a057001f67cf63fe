import type { ReadEvent } from '@/lib/custody/event'
import { type BodyFormat, splitItems } from './body'
import { type FieldFault, type Problem, problem, toFieldProblem } from './problem'
import { readWireEvent } from './wireEvent'

/** One item of a body, read as an event or refused. */
export type IntakeItem =
  /** `note` tells the sender what was ignored. */
  | { item: number; line: number | null; event: ReadEvent; problem: null; note?: string }
  | { item: number; line: number | null; event: null; problem: Problem }

/**
 * Reads a body of events in one of the wire formats. `getZone` gives the zone of a plant or laboratory of the register.
 * Errors: SyntaxError if the whole body is unreadable; TooManyItems if it has more than `max`.
 */
export function readEvents(
  text: string,
  format: BodyFormat,
  getZone: (code: string | null) => string | null,
  max?: number,
): IntakeItem[] {
  return splitItems(text, format, max).map(({ item, line, value, fault }) => {
    const read = fault ? { faults: [{ pointer: '', ...fault }] } : readWireEvent(value, getZone)
    return 'event' in read
      ? { item, line, event: read.event, problem: null }
      : refuseItem({ item, line }, read.faults)
  })
}

export function refuseItem(
  { item, line }: Pick<IntakeItem, 'item' | 'line'>,
  faults: readonly FieldFault[],
): IntakeItem {
  const errors = faults.map(toFieldProblem)
  const first = errors[0]?.detail ?? ''
  const more = { item, ...(line === null ? {} : { line }), errors }
  return { item, line, event: null, problem: problem('event-refused', 422, 'Event refused', first, more) }
}
