import { DAY, getOffset, toCivilDate, toLocalDay } from '@/lib/hold/zone'
import type { DateForm } from '@/lib/messages/language'
import type { Translate } from '@/lib/messages/translate'
import { formatZone, isUtc } from '@/lib/messages/zoneName'
import { isDayEnd } from '@/lib/schedule/deadline'
import { isShownTwice } from '@/lib/schedule/shownTwice'

// Instants are ms UTC, local days are days since 1970-01-01. The zone is always an argument, and a time of day always
// has its place beside it. The year is left out if it is that of `now`.

const getYear = (at: number, zone: string) => toCivilDate(toLocalDay(at, zone)).year

/** Without the year if it is that of `now`. */
function formatDate(
  t: Translate,
  at: number,
  zone: string,
  now: number,
  [short, withYear]: readonly [DateForm, DateForm],
): string {
  return t.date(at, zone, getYear(at, zone) === getYear(now, zone) ? short : withYear)
}

const DATE = ['dayMonth', 'dayMonthYear'] as const
const WEEKDAY_DATE = ['weekdayDay', 'weekdayDayYear'] as const
const DATE_TIME = ['weekdayDayTime', 'weekdayDayYearTime'] as const
const DATE_TIME_OFFSET = ['weekdayDayTimeOffset', 'weekdayDayYearTimeOffset'] as const
const LONG_DATE = ['longWeekdayDay', 'longWeekdayDayYear'] as const
const LONG_DATE_TIME = ['longWeekdayDayTime', 'longWeekdayDayYearTime'] as const

/** "Fri 30 Oct 16:10 Lisbon", with its offset if the clocks show that time twice. */
export function formatInstant(t: Translate, at: number, zone: string, now: number): string {
  return `${formatDateTime(t, at, zone, now)} ${formatZone(zone)}`
}

/** "Fri 30 Oct 16:10", for use beside its place. */
export function formatDateTime(t: Translate, at: number, zone: string, now: number): string {
  return formatDate(t, at, zone, now, isShownTwice(at, zone) ? DATE_TIME_OFFSET : DATE_TIME)
}

/** "Thursday 5 November, 14:20 in Lisbon". */
export function formatLongInstant(t: Translate, at: number, zone: string, now: number): string {
  const dateTime = formatDate(t, at, zone, now, LONG_DATE_TIME)
  const place = formatZone(zone)
  return isUtc(zone) ? `${dateTime} ${place}` : t('instant.inPlace', { dateTime, place })
}

/**
 * By when something has to be done: "the end of Thu 26 Nov, Lisbon" if `at` is the end of a day in `zone`, since
 * midnight reads as the day after; else as `formatInstant`.
 */
export function formatDeadline(t: Translate, at: number, zone: string, now: number): string {
  if (!isDayEnd(at, zone)) return formatInstant(t, at, zone, now)
  return t('deadline.endOfDay', { day: formatDay(t, at - 1, zone, now), place: formatZone(zone) })
}

/** "the end of Thursday 26 November in Lisbon", or as `formatLongInstant`. */
export function formatLongDeadline(t: Translate, at: number, zone: string, now: number): string {
  if (!isDayEnd(at, zone)) return formatLongInstant(t, at, zone, now)
  const day = formatDate(t, at - 1, zone, now, LONG_DATE)
  const place = formatZone(zone)
  return isUtc(zone)
    ? t('deadline.endOfLongDayUtc', { day, offset: place })
    : t('deadline.endOfLongDay', { day, place })
}

/** Goes after "ends" and beside its place: "with Thu 26 Nov", or as `formatDateTime`. */
export function formatEnd(t: Translate, at: number, zone: string, now: number): string {
  return isDayEnd(at, zone)
    ? t('deadline.endsWithDay', { day: formatDay(t, at - 1, zone, now) })
    : formatDateTime(t, at, zone, now)
}

/** "Fri 30 Oct": the local day of an instant. */
export function formatDay(t: Translate, at: number, zone: string, now: number): string {
  return formatDate(t, at, zone, now, WEEKDAY_DATE)
}

/** "Mon 9 Nov": a local day by its number; the year of `now` is that in `zone`. */
export function formatDayNumber(t: Translate, day: number, zone: string, now: number): string {
  return formatDay(t, day * DAY, 'UTC', now + getOffset(now, zone))
}

/** "9 Nov": a local day by its number, if its year is clear. */
export function formatShortDay(t: Translate, day: number): string {
  return t.date(day * DAY, 'UTC', 'dayMonth')
}

/** "today", "Tue" within the last six days, else "3 Nov". */
export function formatSince(t: Translate, at: number, zone: string, now: number): string {
  const days = toLocalDay(now, zone) - toLocalDay(at, zone)
  if (days === 0) return t('instant.today')
  if (days > 0 && days < 7) return t.date(at, zone, 'weekday')
  return formatDate(t, at, zone, now, DATE)
}
