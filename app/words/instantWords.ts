import { TZDate } from '@date-fns/tz'
import { format } from 'date-fns'
import { DAY, instantsOf, localDay, offsetAt } from '@/lib/hold/zone'
import { placeName } from '@/lib/schedule/placeName'

/**
 * Words for instants (ms UTC) and local days (days since 1970-01-01). The zone is always asked for, and wherever
 * a time of day is printed its place is printed beside it. The year is printed where it is not that of `now`.
 */

const write = (at: number, zone: string, pattern: string) => format(new TZDate(at, zone), pattern)

const yearIn = (at: number, zone: string) => write(at, zone, 'yyyy')

function datePattern(at: number, zone: string, now: number, weekday: 'EEE ' | 'EEEE ' | ''): string {
  const month = weekday === 'EEEE ' ? 'MMMM' : 'MMM'
  return `${weekday}d ${month}${yearIn(at, zone) === yearIn(now, zone) ? '' : ' yyyy'}`
}

/** "Fri 30 Oct 16:10 Lisbon"; a time that the clocks show twice gets its offset. */
export function instantWords(at: number, zone: string, now: number): string {
  return `${dateAndTime(at, zone, now)} ${placeName(zone)}`
}

/** "Fri 30 Oct 16:10", for where the place stands beside it already. */
export function dateAndTime(at: number, zone: string, now: number): string {
  const text = write(at, zone, `${datePattern(at, zone, now, 'EEE ')} HH:mm`)
  return isShownTwice(at, zone) ? `${text} (${write(at, zone, 'xxx')})` : text
}

function isShownTwice(at: number, zone: string): boolean {
  const { instants, isGap } = instantsOf(at + offsetAt(at, zone), zone)
  return instants.length > 1 && !isGap
}

/** "Thursday 5 November, 14:20 in Lisbon", for a heading. */
export function headingInstant(at: number, zone: string, now: number): string {
  const place = placeName(zone)
  const where = place.startsWith('UTC') ? place : `in ${place}`
  return `${write(at, zone, `${datePattern(at, zone, now, 'EEEE ')}, HH:mm`)} ${where}`
}

/** "Fri 30 Oct": the local day of an instant. */
export function dayWords(at: number, zone: string, now: number): string {
  return write(at, zone, datePattern(at, zone, now, 'EEE '))
}

/** "Mon 9 Nov": a local day given by its number; `now` in `zone` decides whether the year is printed. */
export function dayNumberWords(day: number, zone: string, now: number): string {
  return dayWords(day * DAY, 'UTC', now + offsetAt(now, zone))
}

/** "9 Nov": a local day given by its number, for where its year stands beside it or is plain. */
export function shortDay(day: number): string {
  return write(day * DAY, 'UTC', 'd MMM')
}

/** "today", "Tue" within the last six days, else "3 Nov": since when something has been so. */
export function sinceWords(at: number, zone: string, now: number): string {
  const days = localDay(now, zone) - localDay(at, zone)
  if (days === 0) return 'today'
  if (days > 0 && days < 7) return write(at, zone, 'EEE')
  return write(at, zone, datePattern(at, zone, now, ''))
}
