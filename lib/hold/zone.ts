import { tzOffset } from '@date-fns/tz'

/**
 * Time zone arithmetic on whole milliseconds.
 *
 * An instant is milliseconds since 1970-01-01T00:00Z. A local time is the same count on a wall clock, as if that showed UTC.
 * A local day is a day number: days since 1970-01-01 on that wall clock. Offsets come from the runtime's zone data through
 * `@date-fns/tz` and are cached by UTC day: a lookup costs microseconds, and a clock may cost only tens of nanoseconds.
 */

export const SECOND = 1000
export const MINUTE = 60 * SECOND
export const HOUR = 60 * MINUTE
export const DAY = 24 * HOUR

const BLOCK_DAYS = 256
/** Marks a UTC day in which the offset changes. No offset is that large. */
const HAS_CHANGE = 0x7fffffff
const UNKNOWN = 0x7ffffffe
/** No offset is larger (the extreme of the tz database is Manila's -15:56:08). */
const MAX_OFFSET = 16 * HOUR
/** The furthest instant of a Date, ms. */
const MAX_INSTANT = 8.64e15

interface ZoneCache {
  name: string
  blocks: Map<number, Int32Array>
  /** The last block used: lookups close in time follow each other. */
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
 * Whether `zone` is an IANA zone that this runtime knows. `tzOffset` cannot tell: it also accepts a name with an offset in
 * it ("Nowhere-0500") and "constructor".
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

/** The offset of `zone` from UTC at `instant`, ms, positive east of Greenwich. */
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

export function toLocalDay(instant: number, zone: string): number {
  return Math.floor((instant + getOffset(instant, zone)) / DAY)
}

/**
 * The instants that a local time can mean in `zone`, earliest first: usually one; two if the clocks go back over it; and if
 * they go forward over it (`isGap`), the two by the offset after and the offset before the change.
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

/** The first instant after the change of offset in (early, late]. */
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

/** The first millisecond of a local day; if midnight was skipped, the first one after it. */
export function getDayStart(day: number, zone: string): number {
  const { instants, isGap } = findInstants(day * DAY, zone)
  const [early, late] = [instants[0] as number, instants.at(-1) as number]
  return isGap ? findOffsetChange(early - 1, late, zone) : early
}

/** The last millisecond of a local day, which may have 23, 24 or 25 hours. */
export function getDayEnd(day: number, zone: string): number {
  const start = (day + 1) * DAY
  // The usual day: no change of offset near its end.
  const { instants, isGap } = findInstants(start - 1, zone)
  const [early, late] = [instants[0] as number, instants.at(-1) as number]
  return isGap ? findOffsetChange(early - 1, late, zone) - 1 : late
}

/** The day number of a date in the proleptic Gregorian calendar. `month` is 1 to 12, `day` may overflow. */
export function toDayNumber(year: number, month: number, day: number): number {
  const date = new Date(0)
  date.setUTCFullYear(year, month - 1, day)
  return Math.floor(date.getTime() / DAY)
}

/** `month` is 1 to 12. */
export function toCivilDate(day: number): { year: number; month: number; day: number } {
  const date = new Date(day * DAY)
  return { year: date.getUTCFullYear(), month: date.getUTCMonth() + 1, day: date.getUTCDate() }
}

/** The weekday of a day number, 0 (Sunday) to 6. */
export function getWeekday(day: number): number {
  return (((day + 4) % 7) + 7) % 7
}

/** Minutes since local midnight at `at` (ms UTC), with their fraction: 0 to 1440, excluded. */
export function getMinuteOfDay(at: number, zone: string): number {
  const local = at + getOffset(at, zone)
  return (local - Math.floor(local / DAY) * DAY) / MINUTE
}

/** `YYYY-MM-DD`, for the years 0 to 9999. */
export function formatIsoDate(day: number): string {
  return new Date(day * DAY).toISOString().slice(0, 10)
}

/** The day number of `YYYY-MM-DD`; undefined if there is no such date. */
export function parseIsoDate(text: string): number | undefined {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text)
  if (!match) return undefined
  const [year, month, day] = [Number(match[1]), Number(match[2]), Number(match[3])]
  const number = toDayNumber(year, month, day)
  const civil = toCivilDate(number)
  return civil.month === month && civil.day === day ? number : undefined
}
