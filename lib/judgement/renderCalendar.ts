import { escape as escaped, ICalCalendar, ICalEventTransparency } from 'ical-generator'
import { formatIsoDate } from '@/lib/hold/zone'
import type { FeedEntry } from './feedEntries'

/** An entry with what calendars tell its versions apart by. */
export interface StampedEntry extends FeedEntry {
  /** The same for the same thing in every version, and no other's anywhere. */
  uid: string
  /** How often it has changed. */
  sequence: number
  /** When it changed last, ms UTC. */
  modifiedAt: number
}

/** How often a calendar may ask again: an hour. */
const REFRESH_SECONDS = 3600

/**
 * A calendar in iCalendar (RFC 5545): an event of one whole day for each entry. Days stand in no zone there, so each
 * is the local day of who acts. `url` is where the site is, without a slash at its end.
 */
export function renderCalendar(name: string, url: string, entries: readonly StampedEntry[]): string {
  const calendar = new ICalCalendar({
    prodId: { company: 'Holdfast', product: 'Due', language: 'EN' },
    // The library (10.2.0) escapes the texts of events, and not the calendar's name.
    name: escaped(removeControls(name), false),
    ttl: REFRESH_SECONDS,
  })
  for (const { uid, sequence, modifiedAt, day, summary, description, path } of entries) {
    const changedAt = new Date(modifiedAt)
    calendar.createEvent({
      id: uid,
      sequence,
      // In a calendar of no method both say when the event was last revised (RFC 5545, 3.8.7.2).
      stamp: changedAt,
      lastModified: changedAt,
      start: formatIsoDate(day),
      end: formatIsoDate(day + 1),
      allDay: true,
      summary: removeControls(summary),
      description: `${removeControls(description)}\n${url}${path}`,
      url: url + path,
      // Nobody is taken for busy all day by something that is due.
      transparency: ICalEventTransparency.TRANSPARENT,
    })
  }
  const text = `${calendar.toString()}\r\n`
  return entries.length > 0 ? text : text.replace('END:VCALENDAR', `${EMPTY_TIME_ZONE}END:VCALENDAR`)
}

/** A calendar has at least one component (RFC 5545, 3.6): where nothing is due this one says nothing. */
const EMPTY_TIME_ZONE = [
  'BEGIN:VTIMEZONE',
  'TZID:UTC',
  'BEGIN:STANDARD',
  'DTSTART:19700101T000000',
  'TZOFFSETFROM:+0000',
  'TZOFFSETTO:+0000',
  'END:STANDARD',
  'END:VTIMEZONE',
  '',
].join('\r\n')

/**
 * Text without controls other than the tab and the ends of lines: RFC 5545 lets no text hold them (3.3.11). Unicode's
 * own ends of lines are made plain ones, since calendar programs were found to stop reading at them.
 */
function removeControls(text: string): string {
  return text.replace(/\r\n?|[\u0085\u2028\u2029]/g, '\n').replace(/(?![\t\n])\p{Cc}/gu, '')
}
