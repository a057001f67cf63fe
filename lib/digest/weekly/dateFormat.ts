import type { Translate } from '@/lib/messages/translate'
import { formatZone } from '@/lib/messages/zoneName'
import { findDeadlineZone, isDayEnd } from '@/lib/schedule/deadline'
import { isShownTwice } from '@/lib/schedule/shownTwice'

/** Dates in a reader's language. A zone is named beside a time of day, and where its clock differs from the reader's. `at` in ms UTC. */
export interface DateFormat {
  /** "Fri 27 November"; for a reader elsewhere "Fri 27 November (Tokyo)"; with its year where it is far from now. */
  day(at: number, zone: string): string
  /** The same without the zone, for use beside another day that names it. */
  bareDay(at: number, zone: string): string
  /** As `day`, for a day number. */
  localDay(day: number, zone: string): string
  /** "Fri 27 November at 16:00 Lisbon", with its offset if the clocks show that time twice. */
  time(at: number, zone: string): string
  /**
   * A deadline by the reader's own clock, so that two of them can be compared: "the end of Thu 26 November" where a day ends
   * with it (midnight would be read as the day after), else as `time`.
   */
  deadline(at: number): string
  /** When a limit ends: a day, where a day of one of the zones ends with it, else a time in the first. */
  end(at: number, zones: readonly [string, ...string[]]): { form: 'day' | 'time'; end: string }
}

/** Who reads dates: where, and when (ms UTC). */
export interface DateReader {
  zone: string
  asOf: number
}

const DAY_MS = 86_400_000

/** A day that is this far from now is written with its year, ms. */
const YEAR_SHOWN_AFTER_MS = 180 * DAY_MS

const DAY: Intl.DateTimeFormatOptions = { weekday: 'short', day: 'numeric', month: 'long' }
const CLOCK: Intl.DateTimeFormatOptions = { ...DAY, hour: '2-digit', minute: '2-digit' }

/** Dates in the language (BCP 47 tag) that a reader chose for them. */
export function createDateFormat(t: Translate, language: string, reader: DateReader): DateFormat {
  const isFar = (at: number) => Math.abs(at - reader.asOf) > YEAR_SHOWN_AFTER_MS
  const bareDay = (at: number, timeZone: string) =>
    format(language, { ...DAY, ...(isFar(at) ? { year: 'numeric' } : {}), timeZone }, at)
  const time = (at: number, timeZone: string) =>
    [
      format(language, { ...CLOCK, timeZone }, at),
      ...(isShownTwice(at, timeZone) ? [`(${t.date(at, timeZone, 'offset')})`] : []),
      formatZone(timeZone),
    ].join(' ')
  const addZone = (day: string, at: number, zone: string) =>
    isSameTime(at, zone, reader.zone) ? day : t('mail.date.withZone', { day, zone: formatZone(zone) })
  const day = (at: number, zone: string) => addZone(bareDay(at, zone), at, zone)
  return {
    day,
    bareDay,
    localDay: (day, zone) => addZone(bareDay(day * DAY_MS, 'UTC'), (day + 0.5) * DAY_MS, zone),
    time,
    deadline: (at) =>
      isDayEnd(at, reader.zone)
        ? t('mail.date.endOf', { day: bareDay(at - 1, reader.zone) })
        : time(at, reader.zone),
    end: (at, zones) => {
      const zone = findDeadlineZone(at, zones)
      return isDayEnd(at, zone)
        ? { form: 'day', end: day(at - 1, zone) }
        : { form: 'time', end: time(at, zone) }
    },
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

/** Formats are kept: creating one costs a hundred times its use. */
function format(language: string, options: Intl.DateTimeFormatOptions, at: number): string {
  const { timeZone, hour, year } = options
  const key = [language, timeZone, hour, year].join(' ')
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
