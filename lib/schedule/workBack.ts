import type { DutyContent } from '@/lib/custody/testingEntries'
import { type Calendar, findOpenDay } from '@/lib/hold/calendar'
import { getDayEnd, toLocalDay } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import { ACTS, type Act, type ActKind } from './act'

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
  return { act, actor, dueDay, zone, dueAt: getDayEnd(dueDay, zone) }
}

/** How far back a day that fits two calendars is looked for, in days. */
const MAX_SEARCH_DAYS = 800

/** The last open day that is not after `day`; day numbers in the calendar's zone. */
export function findLastOpenDay(day: number, calendar: Calendar): number {
  return findOpenDay(day, -1, calendar)
}

/** The `amount`-th open day before `day`; with amount 0 `day` itself if it is open, else the last one before it. */
function findOpenDayBefore(day: number, amount: number, calendar: Calendar): number {
  let current = findLastOpenDay(day, calendar)
  for (let left = amount; left > 0; left -= 1) current = findLastOpenDay(current - 1, calendar)
  return current
}

/** The last local day of `zone` that is over by an instant (ms UTC): its last instant is not after it. */
function findLastDayOverBy(at: number, zone: string): number {
  const day = toLocalDay(at, zone)
  return getDayEnd(day, zone) <= at ? day : day - 1
}

/** The last open day not after `day` that `fits` too; the last open day where none does. */
function findLastFittingDay(day: number, calendar: Calendar, fits: (day: number) => boolean): number {
  for (let back = day; back > day - MAX_SEARCH_DAYS; back -= 1)
    if (calendar.isOpen(back) && fits(back)) return back
  return findLastOpenDay(day, calendar)
}

/** The first open day not before `day` that `fits` too; the first open day where none does. */
export function findFirstFittingDay(day: number, calendar: Calendar, fits: (day: number) => boolean): number {
  for (let next = day; next < day + MAX_SEARCH_DAYS; next += 1)
    if (calendar.isOpen(next) && fits(next)) return next
  return findOpenDay(day, 1, calendar)
}

/**
 * The last local day (a day number in `zone`) on which a sample can be cut for its report to be in time, if it travels
 * as fast as half do; `day` is null where that day is over.
 */
export interface LastCut {
  day: number | null
  zone: string
}

/**
 * The cut of a test as late as it can be for a report on `dueDay`, worked back as the test is but for the transit:
 * `half` is in how many open days half of the lane's shipments are there. Null where that is not known.
 */
export function planLatestCut(
  duty: DutyContent,
  dueDay: number,
  parties: Parties,
  half: number | null,
): Act | null {
  return workBack(duty, dueDay, parties, half).find(({ act }) => act === 'cut') ?? null
}

/** By when the sample of a test can still be cut at `now` (ms UTC); null where the transit of its lane is not known. */
export function findLastCut({ lastCut }: { lastCut: Act | null }, now: number): LastCut | null {
  if (lastCut === null) return null
  const { dueDay, dueAt, zone } = lastCut
  return { day: dueAt < now ? null : dueDay, zone }
}

/** By when it can still be cut, as a sentence. `sample` is its kit code, or "it". */
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
