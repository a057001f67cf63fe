import { formatIsoDate, getOffset, MINUTE, parseIsoDate, SECOND, toLocalDay } from '@/lib/hold/zone'
import { type Message, message } from '@/lib/messages/message'
import { isReadingFault, readTime } from './reading'

/** Why a time written by hand cannot be used, and in which field. */
export interface HandTimeFault {
  field: 'date' | 'time'
  detail: Message
}

/**
 * Reads a time written by hand in `zone` as an event's `at`. Neither date nor time: `now` (ms UTC), to the second and
 * with its offset. A time alone is today's; a date alone stays a date. A time still to come is refused.
 */
export function parseHandTime(
  written: { date: string; time: string },
  zone: string,
  now: number,
): { at: string } | HandTimeFault {
  const [date, time] = [written.date.trim(), written.time.trim()]
  if (date === '' && time === '') return { at: formatWithOffset(zone, now) }
  if (date !== '' && parseIsoDate(date) === undefined)
    return { field: 'date', detail: message('handTime.date', { date }) }
  const clock = /^(\d{1,2})[:.]?(\d{2})(?::\d{2}(?:\.\d+)?)?$/.exec(time)
  if (time !== '' && (!clock || Number(clock[1]) > 23 || Number(clock[2]) > 59))
    return { field: 'time', detail: message('handTime.time', { time }) }
  const day = date === '' ? formatIsoDate(toLocalDay(now, zone)) : date
  const at = clock ? `${day}T${clock[1]?.padStart(2, '0')}:${clock[2]}` : day
  const reading = readTime(at, zone, null)
  if (isReadingFault(reading)) return { field: 'date', detail: reading.detail }
  if (reading.earliestAt <= now) return { at }
  return date === ''
    ? { field: 'date', detail: message('handTime.laterToday') }
    : { field: 'date', detail: message('handTime.future') }
}

/** `at` (ms UTC) as RFC 3339 with the offset of `zone`: "2026-10-30T16:10:00+01:00". */
export function formatWithOffset(zone: string, at: number): string {
  const offset = getOffset(at, zone)
  const local = new Date(Math.floor((at + offset) / SECOND) * SECOND).toISOString().slice(0, 19)
  const minutes = Math.abs(offset) / MINUTE
  // RFC 3339 cannot write an offset with seconds, which some zones had long ago.
  if (!Number.isInteger(minutes)) return new Date(at).toISOString()
  const two = (value: number) => String(value).padStart(2, '0')
  return `${local}${offset < 0 ? '-' : '+'}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`
}

/** The local date and time in `zone` of an instant (ms UTC), to the minute. */
export function splitDateAndTime(zone: string, at: number): { date: string; time: string } {
  const local = new Date(at + getOffset(at, zone)).toISOString()
  return { date: local.slice(0, 10), time: local.slice(11, 16) }
}
