import type { Translate } from '@/lib/messages/translate'
import { findDeadlineZone, isDayEnd } from '@/lib/schedule/deadline'
import { formatZone } from '@/lib/schedule/zoneName'

/** Dates in a reader's language. The zone is printed where a time of day is, and where it is not the reader's. `at` in ms UTC. */
export interface DateFormat {
  /** "Fri 27 November"; for a reader elsewhere "Fri 27 November (Tokyo)"; far from now with its year. */
  day(at: number, zone: string): string
  /** The same without the place, where another day beside it names it. */
  bareDay(at: number, zone: string): string
  /** As `day`, of a local day, a day number. */
  localDay(day: number, zone: string): string
  /** "Fri 27 November at 16:00 GMT" */
  time(at: number, zone: string): string
  /**
   * By when something has to be, by the reader's own clock, so that of two instants the sooner is seen to be so: "the
   * end of Thu 26 November" where a day ends with it, which midnight would hide, else as `time`.
   */
  deadline(at: number): string
  /** After "ends": "with Thu 26 November" where a day of one of the zones ends with it, else as `time` in the first. */
  ends(at: number, zones: readonly [string, ...string[]]): string
}

/** Who reads dates: where, and when (ms UTC). */
export interface DateReader {
  zone: string
  asOf: number
}

const DAY_MS = 86_400_000

/** From so far on a day is told with its year, ms. */
const YEAR_SHOWN_AFTER_MS = 180 * DAY_MS

const DAY: Intl.DateTimeFormatOptions = { weekday: 'short', day: 'numeric', month: 'long' }
const CLOCK: Intl.DateTimeFormatOptions = { ...DAY, hour: '2-digit', minute: '2-digit' }

/** Dates in a language (BCP 47 tag), for a reader. */
export function createDateFormat(t: Translate, language: string, reader: DateReader): DateFormat {
  const isFar = (at: number) => Math.abs(at - reader.asOf) > YEAR_SHOWN_AFTER_MS
  const written = (at: number, timeZone: string) =>
    format(language, { ...DAY, ...(isFar(at) ? { year: 'numeric' } : {}), timeZone }, at)
  const time = (at: number, timeZone: string) =>
    format(language, { ...CLOCK, timeZoneName: 'short', timeZone }, at)
  const place = (at: number, zone: string) =>
    isSameTime(at, zone, reader.zone) ? '' : ` (${formatZone(zone)})`
  const day = (at: number, zone: string) => written(at, zone) + place(at, zone)
  const ends = (at: number, zones: readonly [string, ...string[]]) => {
    const zone = findDeadlineZone(at, zones)
    return isDayEnd(at, zone) ? `with ${day(at - 1, zone)}` : time(at, zone)
  }
  return {
    day,
    bareDay: written,
    localDay: (day, zone) => written(day * DAY_MS, 'UTC') + place((day + 0.5) * DAY_MS, zone),
    time,
    deadline: (at) =>
      isDayEnd(at, reader.zone) ? `the end of ${written(at - 1, reader.zone)}` : time(at, reader.zone),
    ends,
  }
}

/** Whether the clocks of two zones show the same at an instant. */
function isSameTime(at: number, zone: string, other: string): boolean {
  return (
    zone === other ||
    format('en-GB', { ...CLOCK, timeZone: zone }, at) === format('en-GB', { ...CLOCK, timeZone: other }, at)
  )
}

const formats = new Map<string, Intl.DateTimeFormat>()

/** Making a format costs a hundred times its use. */
function format(language: string, options: Intl.DateTimeFormatOptions, at: number): string {
  const { timeZone, hour, year, timeZoneName } = options
  const key = [language, timeZone, hour, year, timeZoneName].join(' ')
  const known = formats.get(key) ?? new Intl.DateTimeFormat(language, options)
  formats.set(key, known)
  return known.format(at)
}

/** Whether dates can be written by a tag like pt-PT. */
export function isLanguage(tag: string): boolean {
  try {
    return tag.length <= 35 && Intl.DateTimeFormat.supportedLocalesOf(tag).length === 1
  } catch {
    return false
  }
}
