import { TZDate } from '@date-fns/tz'
import { format } from 'date-fns'
import { DAY, findInstants, getOffset, toLocalDay } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import { isDayEnd } from '@/lib/schedule/deadline'
import { formatZone } from '@/lib/schedule/zoneName'

/**
 * Words for instants (ms UTC) and local days (days since 1970-01-01). The zone is always asked for, and wherever
 * a time of day is printed its place is printed beside it. The year is printed where it is not that of `now`.
 */
const formatPattern = (t: Translate, at: number, zone: string, pattern: string) =>
  format(new TZDate(at, zone), pattern)

const getYear = (t: Translate, at: number, zone: string) => formatPattern(t, at, zone, 'yyyy')

function getDatePattern(
  t: Translate,
  at: number,
  zone: string,
  now: number,
  weekday: 'EEE ' | 'EEEE ' | '',
): string {
  const month = weekday === 'EEEE ' ? 'MMMM' : 'MMM'
  return `${weekday}d ${month}${getYear(t, at, zone) === getYear(t, now, zone) ? '' : ' yyyy'}`
}

/** "Fri 30 Oct 16:10 Lisbon"; a time that the clocks show twice gets its offset. */
export function formatInstant(t: Translate, at: number, zone: string, now: number): string {
  return `${formatDateTime(t, at, zone, now)} ${formatZone(zone)}`
}

/** "Fri 30 Oct 16:10", for where the place stands beside it already. */
export function formatDateTime(t: Translate, at: number, zone: string, now: number): string {
  const text = formatPattern(t, at, zone, `${getDatePattern(t, at, zone, now, 'EEE ')} HH:mm`)
  return isShownTwice(at, zone) ? `${text} (${formatPattern(t, at, zone, 'xxx')})` : text
}

function isShownTwice(at: number, zone: string): boolean {
  const { instants, isGap } = findInstants(at + getOffset(at, zone), zone)
  return instants.length > 1 && !isGap
}

/** "Thursday 5 November, 14:20 in Lisbon", for a heading. */
export function formatLongInstant(t: Translate, at: number, zone: string, now: number): string {
  return `${formatPattern(t, at, zone, `${getDatePattern(t, at, zone, now, 'EEEE ')}, HH:mm`)} ${formatInPlace(t, zone)}`
}

function formatInPlace(t: Translate, zone: string): string {
  const place = formatZone(zone)
  return place.startsWith('UTC') ? place : `in ${place}`
}

/**
 * By when something has to be done: "the end of Thu 26 Nov, Lisbon" where it may take all of a day of `zone`, since
 * midnight is read as the day after; else as `formatInstant`.
 */
export function formatDeadline(t: Translate, at: number, zone: string, now: number): string {
  if (!isDayEnd(at, zone)) return formatInstant(t, at, zone, now)
  return `the end of ${formatDay(t, at - 1, zone, now)}, ${formatZone(zone)}`
}

/** The same at length: "the end of Thursday 26 November in Lisbon". */
export function formatLongDeadline(t: Translate, at: number, zone: string, now: number): string {
  if (!isDayEnd(at, zone)) return formatLongInstant(t, at, zone, now)
  return `the end of ${formatPattern(t, at - 1, zone, getDatePattern(t, at - 1, zone, now, 'EEEE '))} ${formatInPlace(t, zone)}`
}

/** After "ends", where the place is known: "with Thu 26 Nov", else as `formatDateTime`. */
export function formatEnd(t: Translate, at: number, zone: string, now: number): string {
  return isDayEnd(at, zone) ? `with ${formatDay(t, at - 1, zone, now)}` : formatDateTime(t, at, zone, now)
}

/** "Fri 30 Oct": the local day of an instant. */
export function formatDay(t: Translate, at: number, zone: string, now: number): string {
  return formatPattern(t, at, zone, getDatePattern(t, at, zone, now, 'EEE '))
}

/** "Mon 9 Nov": a local day given by its number; `now` in `zone` decides whether the year is printed. */
export function formatDayNumber(t: Translate, day: number, zone: string, now: number): string {
  return formatDay(t, day * DAY, 'UTC', now + getOffset(now, zone))
}

/** "9 Nov": a local day given by its number, for where its year stands beside it or is plain. */
export function formatShortDay(t: Translate, day: number): string {
  return formatPattern(t, day * DAY, 'UTC', 'd MMM')
}

/** "today", "Tue" within the last six days, else "3 Nov": since when something has been so. */
export function formatSince(t: Translate, at: number, zone: string, now: number): string {
  const days = toLocalDay(now, zone) - toLocalDay(at, zone)
  if (days === 0) return 'today'
  if (days > 0 && days < 7) return formatPattern(t, at, zone, 'EEE')
  return formatPattern(t, at, zone, getDatePattern(t, at, zone, now, ''))
}
