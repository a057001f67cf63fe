import { DAY, getDayEnd, parseIsoDate } from '@/lib/hold/zone'
import { type Message, message } from '@/lib/messages/message'
import type { Overdue } from './overdueKinds'

/** An overdue task that someone set aside for a while. It never changes: a new one takes its place. */
export interface SetAside {
  /** The `subject` of what is overdue. */
  subject: string
  /** Through this instant, ms UTC. */
  untilAt: number
  reason: string
  /** Who set it, and when (ms UTC). */
  by: string
  madeAt: number
}

/** The longest time to set something aside, in days: what waits longer has to be looked at again. */
export const MAX_SET_ASIDE_DAYS = 92

const MAX_REASON_LENGTH = 500

export interface SetAsideFault {
  field: 'until' | 'reason'
  detail: Message
}

/**
 * Parses what a person wrote: a reason, and the local day `until` (2026-12-04) in `zone`, through whose end something is
 * set aside. `now` in ms UTC.
 */
export function parseSetAside(
  written: { until: string; reason: string },
  zone: string,
  now: number,
): { untilAt: number; reason: string } | { faults: SetAsideFault[] } {
  const faults: SetAsideFault[] = []
  const reason = written.reason.trim()
  const day = parseIsoDate(written.until.trim())
  const untilAt = day === undefined ? null : getDayEnd(day, zone)
  if (untilAt === null) faults.push({ field: 'until', detail: message('setAside.fault.day') })
  else if (untilAt <= now) faults.push({ field: 'until', detail: message('setAside.fault.past') })
  else if (untilAt - now > MAX_SET_ASIDE_DAYS * DAY)
    faults.push({ field: 'until', detail: message('setAside.fault.tooLong', { days: MAX_SET_ASIDE_DAYS }) })
  if (reason === '') faults.push({ field: 'reason', detail: message('setAside.fault.reason') })
  else if (reason.length > MAX_REASON_LENGTH)
    faults.push({
      field: 'reason',
      detail: message('setAside.fault.reasonTooLong', { max: MAX_REASON_LENGTH }),
    })
  return faults.length === 0 && untilAt !== null ? { untilAt, reason } : { faults }
}

/** The last one made for a subject, if it still holds at `now` (ms UTC). */
export function findSetAside(setAsides: readonly SetAside[], subject: string, now: number): SetAside | null {
  const last = setAsides
    .filter((one) => one.subject === subject && one.madeAt <= now)
    .reduce<SetAside | null>((a, b) => (a === null || isLater(b, a) ? b : a), null)
  return last !== null && now <= last.untilAt ? last : null
}

/** Splits what is overdue into what needs an act now and what is set aside. */
export function splitSetAside(
  overdue: readonly Overdue[],
  setAsides: readonly SetAside[],
  now: number,
): { overdue: Overdue[]; setAside: { overdue: Overdue; entry: SetAside }[] } {
  const parted = overdue.map((one) => ({ overdue: one, entry: findSetAside(setAsides, one.subject, now) }))
  return {
    overdue: parted.filter(({ entry }) => entry === null).map((one) => one.overdue),
    setAside: parted.flatMap(({ overdue: one, entry }) => (entry ? [{ overdue: one, entry }] : [])),
  }
}

function isLater(a: SetAside, b: SetAside): boolean {
  if (a.madeAt !== b.madeAt) return a.madeAt > b.madeAt
  return a.untilAt !== b.untilAt ? a.untilAt > b.untilAt : a.by + a.reason > b.by + b.reason
}
