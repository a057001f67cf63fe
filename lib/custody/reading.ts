import {
  findInstants,
  getDayEnd,
  getDayStart,
  getOffset,
  isZone,
  MINUTE,
  parseIsoDate,
  SECOND,
} from '@/lib/hold/zone'

import { type Message, message } from '@/lib/messages/message'

/** What a reported time can mean: the earliest and the latest instant, ms UTC. One instant: both the same. */
export interface Reading {
  earliestAt: number
  latestAt: number
}

/** Why a reported time cannot be read: the field, the fault and its cure. */
export interface ReadingFault {
  field: 'at' | 'zone'
  detail: Message
  right: Message
}

const AT = /^(\d{4}-\d{2}-\d{2})(?:[Tt ](\d{2}):(\d{2})(?::(\d{2})(?:\.(\d+))?)?([Zz]|[+-]\d{2}:\d{2})?)?$/

const TIME_FORMATS = message('time.fix.formats')

/**
 * Reads `at`: an instant, a local time (in `zone`, else in `placeZone`), or a local date alone.
 * A local time that a change of clocks makes ambiguous has two readings. Missing seconds are 00, second 60 is the
 * last millisecond of the minute, and fractions beyond the millisecond are cut off. An offset that `zone` did not
 * have at that instant contradicts it (RFC 9557, section 3.4); `Z` and `-00:00` contradict nothing.
 */
export function readTime(at: string, zone: string | null, placeZone: string | null): Reading | ReadingFault {
  if (zone !== null && !isZone(zone))
    return {
      field: 'zone',
      detail: message('time.unknownZone', { zone }),
      right: message('time.fix.zone'),
    }
  const match = AT.exec(at)
  const day = match && parseIsoDate(match[1] as string)
  if (!match || day === undefined || day === null)
    return { field: 'at', detail: message('time.unreadable', { at }), right: TIME_FORMATS }
  const localZone = zone ?? placeZone
  if (match[2] === undefined) {
    if (localZone === null) return missingZone(at)
    const [first, last] = [getDayStart(day, localZone), getDayEnd(day, localZone)]
    return { earliestAt: Math.min(first, last), latestAt: Math.max(first, last) }
  }
  const [hour, minute, second] = [Number(match[2]), Number(match[3]), Number(match[4] ?? 0)]
  if (hour > 23 || minute > 59 || second > 60)
    return {
      field: 'at',
      detail: message('time.impossible', { at }),
      right: TIME_FORMATS,
    }
  const millisecond =
    second === 60 ? 59_999 : second * SECOND + Number((match[5] ?? '').padEnd(3, '0').slice(0, 3))
  const local = day * 86_400_000 + (hour * 60 + minute) * MINUTE + millisecond
  if (match[6] !== undefined) return readOffset(at, local, match[6], zone)
  if (localZone === null) return missingZone(at)
  const { instants } = findInstants(local, localZone)
  return { earliestAt: instants[0] as number, latestAt: instants.at(-1) as number }
}

/**
 * Reads a time that was accepted before. New zone data may since have changed the offset of the zone or removed its
 * name; then the offset counts, else the place.
 */
export function readAcceptedTime(
  at: string,
  zone: string | null,
  placeZone: string | null,
): Reading | ReadingFault {
  const reading = readTime(at, zone, placeZone)
  return isReadingFault(reading) && zone !== null ? readTime(at, null, placeZone) : reading
}

function missingZone(at: string): ReadingFault {
  return {
    field: 'at',
    detail: message('time.noZone', { at }),
    right: message('time.fix.noZone', { field: 'at' }),
  }
}

function readOffset(at: string, local: number, offset: string, zone: string | null): Reading | ReadingFault {
  const claims = !/^(z|-00:00)$/i.test(offset)
  const [hours, minutes] =
    claims || offset.length > 1 ? [Number(offset.slice(1, 3)), Number(offset.slice(4))] : [0, 0]
  if (hours > 23 || minutes > 59)
    return { field: 'at', detail: message('time.badOffset', { offset, at }), right: TIME_FORMATS }
  const offsetMs = (offset.startsWith('-') ? -1 : 1) * (hours * 60 + minutes) * MINUTE
  const instant = local - offsetMs
  if (claims && zone !== null) {
    // Historical zones had seconds in their offsets, but RFC 3339 has only minutes.
    const actual = Math.round(getOffset(instant, zone) / MINUTE) * MINUTE
    if (actual !== offsetMs)
      return {
        field: 'at',
        detail: message('time.contradiction', { at, zone, offset: formatOffset(actual) }),
        right: message('time.fix.offset', { offset: formatOffset(actual) }),
      }
  }
  return { earliestAt: instant, latestAt: instant }
}

function formatOffset(offsetMs: number): string {
  const minutes = Math.abs(offsetMs) / MINUTE
  const two = (value: number) => String(value).padStart(2, '0')
  return `${offsetMs < 0 ? '-' : '+'}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`
}

export function isReadingFault(reading: Reading | ReadingFault): reading is ReadingFault {
  return 'detail' in reading
}

/** Adapts a cure to a time in another field than `at`. */
export function nameField(right: Message, field: string): Message {
  return 'field' in right.values ? { ...right, values: { ...right.values, field } } : right
}
