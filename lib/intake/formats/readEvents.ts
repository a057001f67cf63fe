import type { ReadEvent } from '@/lib/custody/event'
import { type BodyFormat, splitBody } from './body'
import { type ItemLimits, UNLIMITED } from './limits'
import { type FieldFault, type Problem, problem, toFieldProblem } from './problem'
import { readWireEvent } from './wireEvent'

/** One item of a body, read as an event or refused. */
export type IntakeItem =
  /** `note` tells the sender what was ignored. */
  | { item: number; line: number | null; event: ReadEvent; problem: null; note?: string }
  /** `problem` is null beyond the refusals that are told in full. */
  | { item: number; line: number | null; event: null; problem: Problem | null }

type GetZone = (code: string | null) => string | null

export interface ReadingLimits {
  limits: ItemLimits
  /** How many refused items are told in full. */
  fullRefusals: number
  /** Why an event that can be read is refused; null if it is not. */
  findFault(event: ReadEvent): FieldFault | null
}

const NO_LIMITS: ReadingLimits = {
  limits: UNLIMITED,
  fullRefusals: Number.POSITIVE_INFINITY,
  findFault: () => null,
}

/**
 * Reads a body of events in one of the wire formats, at once and without limits. `getZone` gives the zone of a plant or
 * laboratory of the register. Errors: SyntaxError if the whole body is unreadable.
 */
export function readEvents(text: string, format: BodyFormat, getZone: GetZone): IntakeItem[] {
  return [...readEventSteps(text, format, getZone, NO_LIMITS)].filter((item) => item !== null)
}

/**
 * Reads a body of events one by one; null: nothing yet, so that the caller can pause. Errors: those of `splitBody`.
 */
export function* readEventSteps(
  text: string,
  format: BodyFormat,
  getZone: GetZone,
  { limits, fullRefusals, findFault }: ReadingLimits,
): Generator<IntakeItem | null> {
  let refused = 0
  for (const raw of splitBody(text, format, limits)) {
    if (raw === null) {
      yield null
      continue
    }
    const { item, line, value, fault } = raw
    const read = fault ? { faults: [{ pointer: '', ...fault }] } : readWireEvent(value, getZone)
    const judged = 'event' in read ? findFault(read.event) : null
    if ('event' in read && judged === null) yield { item, line, event: read.event, problem: null }
    else {
      refused += 1
      const faults = 'faults' in read ? read.faults : [judged as FieldFault]
      yield {
        item,
        line,
        event: null,
        problem: refused > fullRefusals ? null : toItemProblem(item, line, faults),
      }
    }
  }
}

function toItemProblem(item: number, line: number | null, faults: readonly FieldFault[]): Problem {
  const errors = faults.map(toFieldProblem)
  const more = { item, ...(line === null ? {} : { line }), errors }
  return problem('event-refused', 422, 'Event refused', errors[0]?.detail ?? '', more)
}
