import { formatIsoDate, getOffset, MINUTE, parseIsoDate, SECOND, toLocalDay } from '@/lib/hold/zone'
import { isReadingFault, readTime } from './reading'

/** A field of a time written by hand, and a sentence on what is wrong with it. */
export interface HandTimeFault {
  field: 'date' | 'time'
  detail: string
}

/**
 * A time written by hand in `zone` as an event's `at`: with neither date nor time `now` (ms UTC), to the second and
 * with its offset; without a date today's; a date alone stays one. Refused where it is still to come.
 */
export function parseHandTime(
  written: { date: string; time: string },
  zone: string,
  now: number,
): { at: string } | HandTimeFault {
  const [date, time] = [written.date.trim(), written.time.trim()]
  if (date === '' && time === '') return { at: formatWithOffset(zone, now) }
  if (date !== '' && parseIsoDate(date) === undefined)
    return { field: 'date', detail: `“${date}” is not a day of the calendar: write it as 2026-10-30.` }
  const clock = /^(\d{1,2})[:.]?(\d{2})(?::\d{2}(?:\.\d+)?)?$/.exec(time)
  if (time !== '' && (!clock || Number(clock[1]) > 23 || Number(clock[2]) > 59))
    return { field: 'time', detail: `“${time}” is no time of day: write it as 16:10.` }
  const day = date === '' ? formatIsoDate(toLocalDay(now, zone)) : date
  const at = clock ? `${day}T${clock[1]?.padStart(2, '0')}:${clock[2]}` : day
  const reading = readTime(at, zone, null)
  if (isReadingFault(reading)) return { field: 'date', detail: reading.detail }
  if (reading.earliestAt <= now) return { at }
  return date === ''
    ? { field: 'date', detail: 'At that time today it is still to come: say which day it was.' }
    : { field: 'date', detail: 'That is still to come: record it once it has happened.' }
}

/** `at` (ms UTC) on the clocks of `zone`, with its offset: "2026-10-30T16:10:00+01:00". */
export function formatWithOffset(zone: string, at: number): string {
  const offset = getOffset(at, zone)
  const local = new Date(Math.floor((at + offset) / SECOND) * SECOND).toISOString().slice(0, 19)
  const minutes = Math.abs(offset) / MINUTE
  // An offset with seconds in it, as those of long ago, cannot be written.
  if (!Number.isInteger(minutes)) return new Date(at).toISOString()
  const two = (value: number) => String(value).padStart(2, '0')
  return `${local}${offset < 0 ? '-' : '+'}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`
}

/** An instant (ms UTC) as date and time on the clocks of `zone`, to the minute. */
export function splitDateAndTime(zone: string, at: number): { date: string; time: string } {
  const local = new Date(at + getOffset(at, zone)).toISOString()
  return { date: local.slice(0, 10), time: local.slice(11, 16) }
}
