import { TZDate } from '@date-fns/tz'
import { format } from 'date-fns'
import { DAY, instantsOf, localDay, offsetAt } from '@/lib/hold/zone'
import { isDayEnd } from '@/lib/schedule/deadline'
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
  return `${write(at, zone, `${datePattern(at, zone, now, 'EEEE ')}, HH:mm`)} ${inPlace(zone)}`
}

function inPlace(zone: string): string {
  const place = placeName(zone)
  return place.startsWith('UTC') ? place : `in ${place}`
}

/**
 * By when something has to be done: "the end of Thu 26 Nov, Lisbon" where it may take all of a day of `zone`, since
 * midnight is read as the day after; else as `instantWords`.
 */
export function deadlineWords(at: number, zone: string, now: number): string {
  if (!isDayEnd(at, zone)) return instantWords(at, zone, now)
  return `the end of ${dayWords(at - 1, zone, now)}, ${placeName(zone)}`
}

/** The same at length: "the end of Thursday 26 November in Lisbon". */
export function longDeadline(at: number, zone: string, now: number): string {
  if (!isDayEnd(at, zone)) return headingInstant(at, zone, now)
  return `the end of ${write(at - 1, zone, datePattern(at - 1, zone, now, 'EEEE '))} ${inPlace(zone)}`
}

/** After "ends", where the place is known: "with Thu 26 Nov", else as `dateAndTime`. */
export function endsWords(at: number, zone: string, now: number): string {
  return isDayEnd(at, zone) ? `with ${dayWords(at - 1, zone, now)}` : dateAndTime(at, zone, now)
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
