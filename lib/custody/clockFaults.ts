import { type Clock, getFirstDueAt, mayExtend } from '@/lib/hold/clock'
import { findEarliestStop } from '@/lib/hold/earliestStop'
import { isMilestone } from '@/lib/hold/milestone'
import { MINUTE } from '@/lib/hold/zone'
import { type Message, message } from '@/lib/messages/message'
import type { ReadEvent } from './event'
import { KINDS } from './eventKinds'

/** What the clocks of a sample have against an event that a person records, and the field of the form that settles it. */
export interface ClockFault {
  field: 'confirm' | 'limit'
  detail: Message
}

/** An early event is only asked about: `isConfirmed` once that was answered. Times are shown in `zone`. */
export function findClockFaults(
  event: ReadEvent,
  clocks: readonly Clock[],
  zone: string,
  isConfirmed: boolean,
): ClockFault[] {
  if (event.kind === 'extended') return findExtensionFaults(event, clocks)
  if (!isMilestone(event.kind) || isConfirmed) return []
  // A correction is held against the clock as if it still ran.
  const running = event.corrects === null ? clocks : clocks.map((clock) => ({ ...clock, stoppedAt: null }))
  const stopAt = findEarliestStop(running, event.kind, event.earliestAt)
  if (stopAt === null || event.earliestAt >= stopAt) return []
  const kind = message(KINDS[event.kind].label)
  const time = { at: Math.ceil(stopAt / MINUTE) * MINUTE, zone }
  return [{ field: 'confirm', detail: message('record.fault.early', { kind, time }) }]
}

/** An extension that would change nothing is not recorded by hand. */
function findExtensionFaults(event: ReadEvent, clocks: readonly Clock[]): ClockFault[] {
  const clock = clocks.find(({ limit }) => limit.name === event.facts?.limit)
  if (!clock) return []
  if (clock.limit.extendable === false)
    return [{ field: 'limit', detail: message('record.fault.notExtendable') }]
  const firstDueAt = getFirstDueAt(clock)
  return firstDueAt === null || mayExtend(clock.limit, firstDueAt, event.earliestAt)
    ? []
    : [{ field: 'limit', detail: message('record.fault.extendedLate') }]
}
