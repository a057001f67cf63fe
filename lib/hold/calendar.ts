import { getWeekday, toLocalDay } from './zone'

/** One version of a laboratory's days of opening, as its register entry gives them. */
export interface OpeningDays {
  /** Weekdays with receiving hours, 0 (Sunday) to 6. */
  weekdays: ReadonlySet<number>
  /** Day numbers of holidays and closures. */
  closed: ReadonlySet<number>
  /** Names the holiday that is kept on a day by rule; none where it is absent. */
  findHoliday?: (day: number) => string | null
  /** Instant from which this version holds; the first version holds for all time before, too. */
  holdsFromAt: number
}

/** The weekdays on which a plant works where nothing is said of it: Monday to Friday. Common practice, no source. */
export const DEFAULT_WORKDAYS: ReadonlySet<number> = new Set([1, 2, 3, 4, 5])

/** A laboratory's zone and its open days, over all versions of its entry. */
export interface Calendar {
  zone: string
  isOpen(day: number): boolean
}

/**
 * The calendar of a laboratory from every version of its opening days, in any order. A day takes the newest
 * version that held before the day was over in `zone`: a new version speaks of today and later, and days already
 * past when it came keep what held then.
 *
 * Errors: RangeError where a version opens on no weekday (no working day would ever end).
 */
export function createCalendar(zone: string, versions: readonly OpeningDays[]): Calendar {
  const ordered = [...versions].sort((a, b) => a.holdsFromAt - b.holdsFromAt || 0)
  if (ordered.length === 0 || ordered.some((version) => version.weekdays.size === 0))
    throw new RangeError('A laboratory opens on at least one weekday')
  const spans = ordered.map((version, index) => ({
    ...version,
    firstDay: index === 0 ? Number.NEGATIVE_INFINITY : toLocalDay(version.holdsFromAt, zone),
  }))
  const spanOf = (day: number) => spans.findLast((span) => span.firstDay <= day) ?? spans[0]
  return {
    zone,
    isOpen(day) {
      const span = spans.length === 1 ? spans[0] : spanOf(day)
      if (!span?.weekdays.has(getWeekday(day)) || span.closed.has(day)) return false
      return !span.findHoliday?.(day)
    },
  }
}

/**
 * The days that a search for open ones takes at most, about 1,100 years: a laboratory that opens every other week has the
 * 10,000 open days of the largest limit within half of them. A calendar that is never open ends a search there.
 */
const MAX_SEARCH_DAYS = 400_000

/** The first open day from `day` on, or with a step of -1 the last one up to it; the last day searched where none is open. */
export function findOpenDay(day: number, step: 1 | -1, calendar: Pick<Calendar, 'isOpen'>): number {
  let current = day
  for (let searched = 0; searched < MAX_SEARCH_DAYS && !calendar.isOpen(current); searched += 1)
    current += step
  return current
}

/**
 * The `amount`-th open day after `day`; with amount 0 `day` itself if it is open, else the next open one.
 * Days are day numbers in the calendar's zone.
 *
 * Errors: RangeError where the amount is not a whole number from 0 to 10,000: such a search may not end in time.
 */
export function addOpenDays(day: number, amount: number, calendar: Calendar): number {
  if (!isValidAmount(amount)) throw new RangeError(`No calendar counts ${amount} open days`)
  if (amount === 0) return findOpenDay(day, 1, calendar)
  let current = day
  for (let left = amount; left > 0 && current < day + MAX_SEARCH_DAYS; ) {
    current += 1
    if (calendar.isOpen(current)) left -= 1
  }
  return current
}

/** The largest amount of any hold limit, and of open days that are counted. */
export const MAX_AMOUNT = 10_000

/** Whether a number can be the amount of a hold limit: whole, from 0 to `MAX_AMOUNT`. */
export function isValidAmount(amount: number): boolean {
  return Number.isInteger(amount) && amount >= 0 && amount <= MAX_AMOUNT
}
