import { escape as escaped, ICalCalendar, ICalEventTransparency } from 'ical-generator'
import { formatIsoDate } from '@/lib/hold/zone'
import { nameBidiControls } from '@/lib/messages/bidiControls'
import type { FeedEntry } from './feedEntries'

/** An entry with its version. */
export interface StampedEntry extends FeedEntry {
  /** Stable over versions, and globally unique. */
  uid: string
  /** Number of changes. */
  sequence: number
  /** Time of the last change, ms UTC. */
  modifiedAt: number
}

/** An hour. */
const REFRESH_SECONDS = 3600

/**
 * A calendar in iCalendar (RFC 5545) with an all-day event for each entry. Such days have no zone; each is the local day at the
 * place of the act. `url` is the site's, without a final slash.
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
      // In a calendar without a method both mean the last revision (RFC 5545, 3.8.7.2).
      stamp: changedAt,
      lastModified: changedAt,
      start: formatIsoDate(day),
      end: formatIsoDate(day + 1),
      allDay: true,
      summary: removeControls(summary),
      description: `${removeControls(description)}\n${url}${path}`,
      url: url + path,
      // Something that is due must not mark the day as busy.
      transparency: ICalEventTransparency.TRANSPARENT,
    })
  }
  const text = `${calendar.toString()}\r\n`
  return entries.length > 0 ? text : text.replace('END:VCALENDAR', `${EMPTY_TIME_ZONE}END:VCALENDAR`)
}

/** A calendar needs at least one component (RFC 5545, 3.6); this one shows nothing. */
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
 * Removes controls other than tab and line feed, which RFC 5545 forbids in text (3.3.11). Unicode's line separators become line
 * feeds, since some calendar programs stop reading at them. Bidirectional controls are named.
 */
function removeControls(text: string): string {
  const shown = nameBidiControls(text)
  return shown.replace(/\r\n?|[\u0085\u2028\u2029]/g, '\n').replace(/(?![\t\n])\p{Cc}/gu, '')
}
