import type { DutyContent } from '@/lib/custody/testingEntries'
import { type Calendar, findOpenDay } from '@/lib/hold/calendar'
import { getDayEnd, toLocalDay } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import { ACTS, type Act, type ActKind } from './act'

/** Who takes part in a test, and when they work. */
export interface Parties {
  programme: Calendar
  plant: { code: string; calendar: Calendar }
  laboratory: { code: string; calendar: Calendar }
  /** Whether the service calls at the plant on this local day. */
  isPickupDay(day: number): boolean
}

/**
 * The acts of one test, planned backwards from the last day (in the laboratory's zone) on which its report is in time.
 * Each is due on the last working day of its actor from which the later ones can still be in time. `transitDays` is the
 * lane's 90th percentile in the laboratory's open days after dispatch; while it is null, acts before receipt are left out.
 */
export function workBack(
  duty: DutyContent,
  dueDay: number,
  parties: Parties,
  transitDays: number | null,
): Act[] {
  const { programme, plant, laboratory } = parties
  const open = laboratory.calendar
  const reportDay = findLastOpenDay(dueDay, open)
  const endDay = findOpenDayBefore(reportDay, duty.reportDays, open)
  const loadDay = findLastOpenDay(endDay - duty.testDays, open)
  const receiveDay = findOpenDayBefore(loadDay, duty.loadDays, open)
  const late = [
    planAct('receive', receiveDay, parties),
    planAct('load', loadDay, parties),
    planAct('end test', endDay, parties),
    planAct('report', reportDay, parties),
  ]
  if (transitDays === null) return late
  const days = plant.calendar
  const received = getDayEnd(receiveDay, open.zone)
  const dispatchDay =
    transitDays === 0 ? receiveDay : findOpenDayBefore(receiveDay, transitDays - 1, open) - 1
  const handOverDay = findLastFittingDay(
    Math.min(dispatchDay, findLastDayOverBy(received, days.zone)),
    days,
    parties.isPickupDay,
  )
  const cutEnd = getDayEnd(handOverDay, days.zone)
  const postDay = findLastOpenDay(
    Math.min(handOverDay - duty.kitDays, findLastDayOverBy(cutEnd, programme.zone)),
    programme,
  )
  return [
    planAct('post kit', postDay, parties),
    // A sample cut before the day it leaves is only older in the chamber, so both acts fall on one day.
    planAct('cut', handOverDay, parties),
    planAct('hand over', handOverDay, parties),
    ...late,
  ]
}

function planAct(act: ActKind, dueDay: number, parties: Parties): Act {
  const { by } = ACTS[act]
  const [actor, { zone }] =
    by === 'programme' ? [{ by }, parties.programme] : [{ by, code: parties[by].code }, parties[by].calendar]
  return { act, actor, dueDay, zone, dueAt: getDayEnd(dueDay, zone) }
}

/** The limit of a search for a day that fits two calendars. */
const MAX_SEARCH_DAYS = 800

/** The last open day up to `day`. Day numbers in the calendar's zone. */
export function findLastOpenDay(day: number, calendar: Calendar): number {
  return findOpenDay(day, -1, calendar)
}

/** The `amount`-th open day before `day`; with amount 0, the last open day up to `day`. */
function findOpenDayBefore(day: number, amount: number, calendar: Calendar): number {
  let current = findLastOpenDay(day, calendar)
  for (let left = amount; left > 0; left -= 1) current = findLastOpenDay(current - 1, calendar)
  return current
}

/** The last local day of `zone` that has ended by an instant (ms UTC). */
function findLastDayOverBy(at: number, zone: string): number {
  const day = toLocalDay(at, zone)
  return getDayEnd(day, zone) <= at ? day : day - 1
}

/** The last open day up to `day` that `fits`; if none does, the last open day. */
function findLastFittingDay(day: number, calendar: Calendar, fits: (day: number) => boolean): number {
  for (let back = day; back > day - MAX_SEARCH_DAYS; back -= 1)
    if (calendar.isOpen(back) && fits(back)) return back
  return findLastOpenDay(day, calendar)
}

/** The first open day from `day` on that `fits`; if none does, the first open day. */
export function findFirstFittingDay(day: number, calendar: Calendar, fits: (day: number) => boolean): number {
  for (let next = day; next < day + MAX_SEARCH_DAYS; next += 1)
    if (calendar.isOpen(next) && fits(next)) return next
  return findOpenDay(day, 1, calendar)
}

/**
 * The last local day (a day number in `zone`) on which a sample can be cut for its report to be in time, at the lane's
 * median transit time; `day` is null once that day is over.
 */
export interface LastCut {
  day: number | null
  zone: string
}

/**
 * The latest cut for a report on `dueDay`, planned backwards with the lane's median transit time in open days. Null while
 * that is unknown.
 */
export function planLatestCut(
  duty: DutyContent,
  dueDay: number,
  parties: Parties,
  medianTransitDays: number | null,
): Act | null {
  return workBack(duty, dueDay, parties, medianTransitDays).find(({ act }) => act === 'cut') ?? null
}

/** Until when a test's sample can be cut, as of `now` (ms UTC); null while its lane's transit time is unknown. */
export function findLastCut({ lastCut }: { lastCut: Act | null }, now: number): LastCut | null {
  if (lastCut === null) return null
  const { dueDay, dueAt, zone } = lastCut
  return { day: dueAt < now ? null : dueDay, zone }
}

/** Until when a sample can be cut, as a sentence. `sample` is its kit code, or "it". */
export function formatLastCut(
  t: Translate,
  { day, zone }: LastCut,
  sample: string,
  formatDay: (day: number, zone: string) => string,
): string {
  return day === null
    ? t('lastCut.tooLate', { sample })
    : t('lastCut.inTime', { sample, day: formatDay(day, zone) })
}
