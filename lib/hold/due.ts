import type { Calendar } from './calendar'
import type { Limit } from './limit'
import { type CalendarOwner, findCalendarOwner, findCountingMethod, getCalendarOwner } from './units'
import { getDayEnd, getDayStart, toLocalDay } from './zone'

/** The plant's zone, and the laboratory's zone and calendar, in which a sample's days are counted. */
export interface Places {
  plantZone: string
  laboratory: Calendar
}

/** The zone in which a limit's days are counted; undefined if it counts elapsed time. */
export function findCountingZone(limit: Limit, places: Places): string | undefined {
  const owner = findCalendarOwner(limit)
  return owner === null ? undefined : getOwnerZone(owner, places)
}

function getOwnerZone(owner: CalendarOwner, { plantZone, laboratory }: Places): string {
  return owner === 'plant' ? plantZone : laboratory.zone
}

/**
 * The last instant (ms UTC) at which a clock that started at `startedAt` (ms UTC) may stop. Elapsed time is strict to the
 * instant; local days run to the last millisecond of the last day.
 */
export function computeDueAt(limit: Limit, startedAt: number, places: Places): number {
  const method = findCountingMethod(limit)
  if (method.by === 'elapsed') return startedAt + limit.amount * method.ms
  const zone = getOwnerZone(getCalendarOwner(method, limit), places)
  return getDayEnd(method.lastDay(toLocalDay(startedAt, zone), limit.amount, places.laboratory), zone)
}

/**
 * The first instant (ms UTC) at which a clock that started at `startedAt` (ms UTC) may stop; null if its limit has no least
 * time. Elapsed time is strict to the instant; a local day counts from its first instant on.
 */
export function computeEarliestStopAt(limit: Limit, startedAt: number, places: Places): number | null {
  if (limit.atLeast === undefined) return null
  const method = findCountingMethod(limit)
  if (method.by === 'elapsed') return startedAt + limit.atLeast * method.ms
  const zone = getOwnerZone(getCalendarOwner(method, limit), places)
  return getDayStart(method.lastDay(toLocalDay(startedAt, zone), limit.atLeast, places.laboratory), zone)
}
