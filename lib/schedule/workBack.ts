import type { DutyContent } from '@/lib/custody/owedContents'
import type { Calendar } from '@/lib/hold/calendar'
import { lastInstantOf } from '@/lib/hold/zone'
import { ACTS, type Act, type ActKind } from './act'
import { lastDayBy, lastFitting, lastOpen, openDayBefore } from './days'

/** Who takes part in one test, and on which days each of them works. */
export interface Parties {
  programme: Calendar
  plant: { code: string; calendar: Calendar }
  laboratory: { code: string; calendar: Calendar }
  /** Whether the service calls at the plant on a day of the plant. */
  isPickupDay(day: number): boolean
}

/**
 * The acts of one test worked back from the last day (in the laboratory's zone) on which its report is in time. Each
 * is due on the last day on which its actor works and from which what follows can still be in time. `transitDays` are
 * the laboratory's open days after the day of dispatch that nine of ten shipments of the lane need at most; null where
 * that is not known: what comes before receipt then has no day.
 */
export function workBack(
  duty: DutyContent,
  dueDay: number,
  parties: Parties,
  transitDays: number | null,
): Act[] {
  const { programme, plant, laboratory } = parties
  const open = laboratory.calendar
  const reportDay = lastOpen(dueDay, open)
  const endDay = openDayBefore(reportDay, duty.reportDays, open)
  const loadDay = lastOpen(endDay - duty.testDays, open)
  const receiveDay = openDayBefore(loadDay, duty.loadDays, open)
  const late = [
    planAct('receive', receiveDay, parties),
    planAct('load', loadDay, parties),
    planAct('end test', endDay, parties),
    planAct('report', reportDay, parties),
  ]
  if (transitDays === null) return late
  const days = plant.calendar
  const received = lastInstantOf(receiveDay, open.zone)
  const dispatchDay = transitDays === 0 ? receiveDay : openDayBefore(receiveDay, transitDays - 1, open) - 1
  const handOverDay = lastFitting(
    Math.min(dispatchDay, lastDayBy(received, days.zone)),
    days,
    parties.isPickupDay,
  )
  const cutEnd = lastInstantOf(handOverDay, days.zone)
  const postDay = lastOpen(Math.min(handOverDay - duty.kitDays, lastDayBy(cutEnd, programme.zone)), programme)
  return [
    planAct('post kit', postDay, parties),
    // What is cut earlier than it leaves is only older in the chamber: both on one day.
    planAct('cut', handOverDay, parties),
    planAct('hand over', handOverDay, parties),
    ...late,
  ]
}

/** An act on a day of whoever does it. */
function planAct(act: ActKind, dueDay: number, parties: Parties): Act {
  const { by } = ACTS[act]
  const [actor, { zone }] =
    by === 'programme' ? [{ by }, parties.programme] : [{ by, code: parties[by].code }, parties[by].calendar]
  return { act, actor, dueDay, zone, dueAt: lastInstantOf(dueDay, zone) }
}
