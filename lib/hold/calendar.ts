import { getWeekday, toLocalDay } from './zone'

/** One version of a laboratory's opening days, from its register entry. */
export interface OpeningDays {
  /** Weekdays with receiving hours, 0 (Sunday) to 6. */
  weekdays: ReadonlySet<number>
  /** Day numbers of holidays and closures. */
  closed: ReadonlySet<number>
  /** The name of the holiday that a rule puts on a day. */
  findHoliday?: (day: number) => string | null
  /** Instant (ms UTC) from which this version holds. The first version holds for all time before as well. */
  holdsFromAt: number
}

/** The working days of a plant that has given none: Monday to Friday. Common practice, no source. */
export const DEFAULT_WORKDAYS: ReadonlySet<number> = new Set([1, 2, 3, 4, 5])

/** A zone and its open days (day numbers), over all versions of a register entry. */
export interface Calendar {
  zone: string
  isOpen(day: number): boolean
}

/**
 * The calendar of a laboratory from every version of its opening days, in any order. A day takes the newest version that
 * held before the end of the day in `zone`: a new version applies from today on and does not change past days.
 *
 * Errors: RangeError if a version opens on no weekday, since no working day would ever end.
 */
export function createCalendar(zone: string, versions: readonly OpeningDays[]): Calendar {
  const ordered = [...versions].sort((a, b) => a.holdsFromAt - b.holdsFromAt || 0)
  if (ordered.length === 0 || ordered.some((version) => version.weekdays.size === 0))
    throw new RangeError('A laboratory opens on at least one weekday')
  const spans = ordered.map((version, index) => ({
    ...version,
    firstDay: index === 0 ? Number.NEGATIVE_INFINITY : toLocalDay(version.holdsFromAt, zone),
  }))
  const findSpan = (day: number) => spans.findLast((span) => span.firstDay <= day) ?? spans[0]
  return {
    zone,
    isOpen(day) {
      const span = spans.length === 1 ? spans[0] : findSpan(day)
      if (!span?.weekdays.has(getWeekday(day)) || span.closed.has(day)) return false
      return !span.findHoliday?.(day)
    },
  }
}

/**
 * The limit of a search for open days, about 1,100 years: a laboratory that opens one day in two weeks has the 10,000 open
 * days of the largest limit within half of it. A calendar that is never open ends a search here.
 */
const MAX_SEARCH_DAYS = 400_000

/** The first open day from `day` on; with a step of -1, the last open day up to it. If none is open, the last day searched. */
export function findOpenDay(day: number, step: 1 | -1, calendar: Pick<Calendar, 'isOpen'>): number {
  let current = day
  for (let searched = 0; searched < MAX_SEARCH_DAYS && !calendar.isOpen(current); searched += 1)
    current += step
  return current
}

/**
 * The `amount`-th open day after `day`; with amount 0, the first open day from `day` on. Day numbers in the calendar's zone.
 *
 * Errors: RangeError if the amount is not a whole number from 0 to 10,000: such a search may not end in time.
 */
export function addOpenDays(day: number, amount: number, calendar: Calendar): number {
  if (!isValidAmount(amount))
    throw new RangeError(`${amount} open days cannot be counted: give a whole number from 0 to ${MAX_AMOUNT}`)
  if (amount === 0) return findOpenDay(day, 1, calendar)
  let current = day
  for (let left = amount; left > 0 && current < day + MAX_SEARCH_DAYS; ) {
    current += 1
    if (calendar.isOpen(current)) left -= 1
  }
  return current
}

/** The largest amount of a hold limit, and of open days to count. */
export const MAX_AMOUNT = 10_000

export function isValidAmount(amount: number): boolean {
  return Number.isInteger(amount) && amount >= 0 && amount <= MAX_AMOUNT
}
