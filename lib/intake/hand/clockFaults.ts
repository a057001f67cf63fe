import type { ReadEvent } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import { splitDateAndTime } from '@/lib/custody/handTime'
import { type Clock, getFirstDueAt, mayExtend } from '@/lib/hold/clock'
import { findEarliestStop } from '@/lib/hold/earliestStop'
import { isMilestone } from '@/lib/hold/milestone'
import { MINUTE } from '@/lib/hold/zone'
import { message } from '@/lib/messages/message'
import type { EventFormValues } from './eventForm'
import type { FormFault } from './parseEventForm'

/** The value of `confirm` that records an event although it is early. */
export const CONFIRM_EARLY = 'early'

/** What the clocks of a sample have against an event that a person records; times are shown in `zone`. */
export function findClockFaults(
  form: EventFormValues,
  event: ReadEvent,
  clocks: readonly Clock[],
  zone: string,
): FormFault[] {
  if (event.kind === 'extended') return findExtensionFaults(form.limit, event, clocks)
  if (!isMilestone(event.kind) || form.confirm === CONFIRM_EARLY) return []
  // A correction is held against the clock as if it still ran.
  const running = form.corrects === '' ? clocks : clocks.map((clock) => ({ ...clock, stoppedAt: null }))
  const stopAt = findEarliestStop(running, event.kind, event.earliestAt)
  if (stopAt === null || event.earliestAt >= stopAt) return []
  const { date, time } = splitDateAndTime(zone, Math.ceil(stopAt / MINUTE) * MINUTE)
  const kind = message(KINDS[event.kind].label)
  return [{ field: 'confirm', detail: message('record.fault.early', { kind, date, time, zone }) }]
}

/** An extension that would change nothing is not recorded by hand. */
function findExtensionFaults(limit: string, event: ReadEvent, clocks: readonly Clock[]): FormFault[] {
  const clock = clocks.find((one) => one.limit.name === limit)
  if (!clock) return []
  if (clock.limit.extendable === false)
    return [{ field: 'limit', detail: message('record.fault.notExtendable') }]
  const firstDueAt = getFirstDueAt(clock)
  return firstDueAt === null || mayExtend(clock.limit, firstDueAt, event.earliestAt)
    ? []
    : [{ field: 'limit', detail: message('record.fault.extendedLate') }]
}
