import { DAY, findInstants, getDayEnd, getOffset, MINUTE, toLocalDay } from '@/lib/hold/zone'
import { formatDate, toInstant, toWallTime } from './wallClock'

/** The forms in which a source writes times. `local at place` requires the event to name a place in that zone. */
export type WrittenForm = 'utc' | 'offset' | 'local in zone' | 'local at place' | 'date at place'

/** When something happened and how it was written, with the first and last instant (ms UTC) that the text can mean. */
export interface WrittenTime {
  instant: number
  form: WrittenForm
  timeZone: string
  at: string
  zone?: string
  earliestAt: number
  latestAt: number
}

/** Writes an instant (ms UTC, whole seconds) as seen from `timeZone`. */
export function writeTime(instant: number, form: WrittenForm, timeZone: string): WrittenTime {
  const exact = { instant, form, timeZone, earliestAt: instant, latestAt: instant }
  switch (form) {
    case 'utc':
      return { ...exact, at: `${formatSeconds(instant)}Z` }
    case 'offset':
      return {
        ...exact,
        at: formatSeconds(toWallTime(instant, timeZone)) + formatOffset(getOffset(instant, timeZone)),
      }
    case 'date at place': {
      const day = toLocalDay(instant, timeZone)
      return {
        ...exact,
        at: formatDate(day),
        earliestAt: toInstant(day, 0, timeZone),
        latestAt: getDayEnd(day, timeZone),
      }
    }
    default:
      return { ...writeWallTime(toWallTime(instant, timeZone), form, timeZone), instant }
  }
}

/** Writes a wall-clock time, given as if ms UTC; it may mean two instants, or none. */
export function writeWallTime(
  wall: number,
  form: 'local in zone' | 'local at place',
  timeZone: string,
): WrittenTime {
  const { instants } = findInstants(wall, timeZone)
  const [earliest, latest] = [Math.min(...instants), Math.max(...instants)]
  const zone = form === 'local in zone' ? { zone: timeZone } : {}
  return {
    instant: earliest,
    form,
    timeZone,
    at: formatSeconds(wall),
    ...zone,
    earliestAt: earliest,
    latestAt: latest,
  }
}

function formatSeconds(ms: number): string {
  return new Date(ms).toISOString().slice(0, 19)
}

function formatOffset(offset: number): string {
  const sign = offset < 0 ? '-' : '+'
  const clock = new Date((Math.abs(offset) % DAY) - (Math.abs(offset) % MINUTE)).toISOString().slice(11, 16)
  return sign + clock
}
