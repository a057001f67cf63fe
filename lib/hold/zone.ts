import { tzOffset } from '@date-fns/tz'

/**
 * Zone arithmetic on whole milliseconds.
 *
 * An instant is milliseconds since 1970-01-01T00:00Z. A local time is the same count read off a wall clock
 * as if it were UTC. A local day is a day number: days since 1970-01-01 on that wall clock. Offsets come from
 * the zone data of the runtime through `@date-fns/tz` and are cached by UTC day, because asking costs
 * microseconds and a clock has to cost tens of nanoseconds.
 */

export const SECOND = 1000
export const MINUTE = 60 * SECOND
export const HOUR = 60 * MINUTE
export const DAY = 24 * HOUR

const BLOCK_DAYS = 256
/** Marks a UTC day in which the offset changes; an offset is never that large. */
const HAS_CHANGE = 0x7fffffff
const UNKNOWN = 0x7ffffffe
/** No offset is larger than this (the tz database's extreme is Manila's -15:56:08). */
const MAX_OFFSET = 16 * HOUR
/** Furthest instant a Date can hold, in ms. */
const MAX_INSTANT = 8.64e15

interface ZoneCache {
  name: string
  blocks: Map<number, Int32Array>
  /** The last block used: neighbours in time are asked one after another. */
  lastKey: number
  last: Int32Array
}

const zones = new Map<string, ZoneCache>()

function getZoneCache(zone: string): ZoneCache {
  let cache = zones.get(zone)
  if (!cache) {
    if (!isZone(zone))
      throw new RangeError(`"${zone}" is not an IANA zone name; write one like Europe/Lisbon`)
    cache = { name: zone, blocks: new Map(), lastKey: Number.NaN, last: new Int32Array(0) }
    zones.set(zone, cache)
  }
  return cache
}

const knownZones = new Set<string>()

/**
 * Whether `zone` names a zone of the IANA tz database that this runtime knows. The runtime itself is asked, since
 * `tzOffset` also answers to a name with an offset in it ("Nowhere-0500") and to "constructor".
 */
export function isZone(zone: string): boolean {
  if (knownZones.has(zone)) return true
  if (!/^[A-Za-z][A-Za-z0-9_+-]*(\/[A-Za-z0-9_+-]+)*$/.test(zone)) return false
  try {
    new Intl.DateTimeFormat('en-US', { timeZone: zone })
  } catch {
    return false
  }
  knownZones.add(zone)
  return true
}

function readOffset(zone: string, instant: number): number {
  const clamped = Math.max(-MAX_INSTANT, Math.min(MAX_INSTANT, instant))
  return Math.round(tzOffset(zone, new Date(clamped)) * MINUTE)
}

/** Offset from UTC in milliseconds (positive east of Greenwich) that `zone` has at `instant`. */
export function getOffset(instant: number, zone: string): number {
  const cache = getZoneCache(zone)
  const day = Math.floor(instant / DAY)
  const key = Math.floor(day / BLOCK_DAYS)
  if (key !== cache.lastKey) {
    let block = cache.blocks.get(key)
    if (!block) {
      block = new Int32Array(BLOCK_DAYS).fill(UNKNOWN)
      cache.blocks.set(key, block)
    }
    cache.lastKey = key
    cache.last = block
  }
  const index = day - key * BLOCK_DAYS
  let offset = cache.last[index] as number
  if (offset === UNKNOWN) {
    const atStart = readOffset(zone, day * DAY)
    offset = atStart === readOffset(zone, (day + 1) * DAY - 1) ? atStart : HAS_CHANGE
    cache.last[index] = offset
  }
  return offset === HAS_CHANGE ? readOffset(zone, instant) : offset
}

/** The day number that a wall calendar in `zone` shows at `instant`. */
export function toLocalDay(instant: number, zone: string): number {
  return Math.floor((instant + getOffset(instant, zone)) / DAY)
}

/**
 * The instants that a local time can mean in `zone`, earliest first. One, as a rule; two where the clocks go
 * back over it; and where they go forward over it the two that the offset after and the offset before the
 * change give. The last case is told apart by `isGap`.
 */
export function findInstants(local: number, zone: string): { instants: number[]; isGap: boolean } {
  const before = getOffset(local - MAX_OFFSET, zone)
  const after = getOffset(local + MAX_OFFSET, zone)
  if (before === after) return { instants: [local - before], isGap: false }
  const early = local - Math.max(before, after)
  const late = local - Math.min(before, after)
  const instants = [early, late].filter((instant) => instant + getOffset(instant, zone) === local)
  return instants.length > 0 ? { instants, isGap: false } : { instants: [early, late], isGap: true }
}

/** The first instant after the change of offset that lies in (early, late]. */
function findOffsetChange(early: number, late: number, zone: string): number {
  const old = getOffset(early, zone)
  let low = early
  let high = late
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2)
    if (getOffset(middle, zone) === old) low = middle
    else high = middle
  }
  return high
}

/** First millisecond of local day `day` in `zone`; where midnight was skipped, the first that follows. */
export function getDayStart(day: number, zone: string): number {
  const { instants, isGap } = findInstants(day * DAY, zone)
  const [early, late] = [instants[0] as number, instants.at(-1) as number]
  return isGap ? findOffsetChange(early - 1, late, zone) : early
}

/** Last millisecond of local day `day` in `zone`, whether the day has 23, 24 or 25 hours. */
export function getDayEnd(day: number, zone: string): number {
  const start = (day + 1) * DAY
  // The usual day: no change of offset near its end.
  const { instants, isGap } = findInstants(start - 1, zone)
  const [early, late] = [instants[0] as number, instants.at(-1) as number]
  return isGap ? findOffsetChange(early - 1, late, zone) - 1 : late
}

/** Day number of a civil date of the proleptic Gregorian calendar; `month` is 1 to 12, `day` may overflow. */
export function toDayNumber(year: number, month: number, day: number): number {
  const date = new Date(0)
  date.setUTCFullYear(year, month - 1, day)
  return Math.floor(date.getTime() / DAY)
}

/** Civil date of a day number; `month` is 1 to 12. */
export function toCivilDate(day: number): { year: number; month: number; day: number } {
  const date = new Date(day * DAY)
  return { year: date.getUTCFullYear(), month: date.getUTCMonth() + 1, day: date.getUTCDate() }
}

/** Weekday of a day number, 0 (Sunday) to 6. */
export function getWeekday(day: number): number {
  return (((day + 4) % 7) + 7) % 7
}

/** The minute of the local day at `at` (ms UTC), 0 to 1440 (not included), with its fraction. */
export function getMinuteOfDay(at: number, zone: string): number {
  const local = at + getOffset(at, zone)
  return (local - Math.floor(local / DAY) * DAY) / MINUTE
}

/** An ISO 8601 date `YYYY-MM-DD` of a day number; the year 0 to 9999. */
export function formatIsoDate(day: number): string {
  return new Date(day * DAY).toISOString().slice(0, 10)
}

/** Day number of an ISO 8601 date `YYYY-MM-DD`, or undefined where there is no such date. */
export function parseIsoDate(text: string): number | undefined {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text)
  if (!match) return undefined
  const [year, month, day] = [Number(match[1]), Number(match[2]), Number(match[3])]
  const number = toDayNumber(year, month, day)
  const civil = toCivilDate(number)
  return civil.month === month && civil.day === day ? number : undefined
}
