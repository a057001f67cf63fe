import { DAY, lastInstantOf, parseDay } from '@/lib/hold/zone'
import type { Overdue } from './overdueKinds'

/** That something overdue is left aside for a while, by whom and why. Never changed: a new one takes its place. */
export interface Snooze {
  /** The `subject` of what is overdue. */
  subject: string
  /** Through this instant, ms UTC. */
  untilAt: number
  reason: string
  /** Who set it, and when (ms UTC). */
  by: string
  madeAt: number
}

/** The longest that something can be left aside, in days: what rests longer has to be looked at again. */
export const LONGEST_SNOOZE_DAYS = 92

const LONGEST_REASON = 500

export interface SnoozeFault {
  field: 'until' | 'reason'
  detail: string
}

/**
 * Reads a snooze as it is written: through the end of the local day `until` (2026-12-04) in `zone`, for a reason.
 * `now` in ms UTC.
 */
export function readSnooze(
  written: { until: string; reason: string },
  zone: string,
  now: number,
): { untilAt: number; reason: string } | { faults: SnoozeFault[] } {
  const faults: SnoozeFault[] = []
  const reason = written.reason.trim()
  const day = parseDay(written.until.trim())
  const untilAt = day === undefined ? null : lastInstantOf(day, zone)
  if (untilAt === null)
    faults.push({ field: 'until', detail: 'Say until which day it can wait, as 2026-12-04.' })
  else if (untilAt <= now) faults.push({ field: 'until', detail: 'Name today or a day that is to come.' })
  else if (untilAt - now > LONGEST_SNOOZE_DAYS * DAY)
    faults.push({ field: 'until', detail: `Name a day within the next ${LONGEST_SNOOZE_DAYS} days.` })
  if (reason === '') faults.push({ field: 'reason', detail: 'Say why it can wait.' })
  else if (reason.length > LONGEST_REASON)
    faults.push({ field: 'reason', detail: `Keep the reason to ${LONGEST_REASON} characters.` })
  return faults.length === 0 && untilAt !== null ? { untilAt, reason } : { faults }
}

/** The snooze in force on a subject at `now` (ms UTC): the last that was made, if it has not run out. */
export function snoozeOf(snoozes: readonly Snooze[], subject: string, now: number): Snooze | null {
  const last = snoozes
    .filter((one) => one.subject === subject && one.madeAt <= now)
    .reduce<Snooze | null>((a, b) => (a === null || isLater(b, a) ? b : a), null)
  return last !== null && now <= last.untilAt ? last : null
}

/** What is overdue parted into what asks for an act now, and what is left aside. */
export function withSnoozes(
  overdue: readonly Overdue[],
  snoozes: readonly Snooze[],
  now: number,
): { pressing: Overdue[]; aside: { overdue: Overdue; snooze: Snooze }[] } {
  const parted = overdue.map((one) => ({ overdue: one, snooze: snoozeOf(snoozes, one.subject, now) }))
  return {
    pressing: parted.filter(({ snooze }) => snooze === null).map((one) => one.overdue),
    aside: parted.flatMap(({ overdue: one, snooze }) => (snooze ? [{ overdue: one, snooze }] : [])),
  }
}

function isLater(a: Snooze, b: Snooze): boolean {
  if (a.madeAt !== b.madeAt) return a.madeAt > b.madeAt
  return a.untilAt !== b.untilAt ? a.untilAt > b.untilAt : a.by + a.reason > b.by + b.reason
}
