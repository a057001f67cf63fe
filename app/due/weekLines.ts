import { localDay, weekdayOf } from '@/lib/hold/zone'
import type { ActKind, Actor } from '@/lib/schedule/act'
import { dueLines } from '@/lib/schedule/dueLines'
import { isOfTest } from '@/lib/schedule/overdue'
import type { Overdue } from '@/lib/schedule/overdueKinds'
import type { Owed } from '@/lib/schedule/owed'
import { isLookedAt } from './dueFilter'
import type { DueView } from './dueView'

/** How many weeks are drawn. */
export const WEEKS = 14
const DAYS = WEEKS * 7

/** One test as a line over the weeks; places are shares of the width, a day's place its middle. */
export interface WeekLine {
  owed: Owed
  /** What is overdue of it now, the longest; null where nothing is. */
  overdue: Overdue | null
  /** That is left aside for a while. */
  isAside: boolean
  marks: { acts: ActKind[]; by: Actor['by']; place: number }[]
  /** Where the line begins and ends. */
  from: number
  to: number
  /** It goes on beyond the last week. */
  isOnward: boolean
}

export interface WeekPicture {
  /** The Mondays, as day numbers, with their places. */
  mondays: { day: number; place: number }[]
  /** Where today is. */
  today: number
  /** Those with something overdue first, then by the first act that is still due. */
  lines: WeekLine[]
}

/** The tests that a view shows as lines over the weeks from the Monday of today in `zone` on. */
export function weekPicture(view: DueView, zone: string): WeekPicture {
  const { work, filter, person } = view
  const today = localDay(work.asOf, zone)
  const monday = today - ((weekdayOf(today) + 6) % 7)
  const placeOf = (day: number) => (day - monday + 0.5) / DAYS
  const lineOf = (owed: Owed): WeekLine | null => {
    const due = dueLines([owed], work.asOf).filter(({ actor }) =>
      isLookedAt(filter, owed.plant, actor, person),
    )
    const pressing = work.pressing.find((one) => isOfTest(one, owed))
    const aside = work.aside.find((one) => isOfTest(one.overdue, owed))
    const overdue = pressing ?? aside?.overdue ?? null
    const last = due.at(-1)
    const first = due[0]
    if (!first || !last || (overdue === null && placeOf(first.dueDay) > 1)) return null
    return {
      owed,
      overdue,
      isAside: pressing === undefined && aside !== undefined,
      marks: due
        .filter(({ dueDay }) => placeOf(dueDay) < 1)
        .map(({ acts, actor, dueDay }) => ({ acts, by: actor.by, place: Math.max(0, placeOf(dueDay)) })),
      from: overdue ? placeOf(today) : Math.max(0, placeOf(first.dueDay)),
      to: Math.min(1, placeOf(last.dueDay)),
      isOnward: placeOf(last.dueDay) > 1,
    }
  }
  return {
    mondays: Array.from({ length: WEEKS }, (_, week) => ({
      day: monday + 7 * week,
      place: week / WEEKS,
    })),
    today: placeOf(today),
    lines: work.owed
      .filter(({ plant }) => filter.plant === null || plant === filter.plant)
      .flatMap((owed) => lineOf(owed) ?? [])
      .sort(
        (a, b) => Number(b.overdue !== null) - Number(a.overdue !== null) || a.from - b.from || a.to - b.to,
      ),
  }
}
