import type { Calendar } from './calendar'
import type { Limit } from './limit'
import { type CalendarOwner, findCalendarOwner, findCountingMethod, getCalendarOwner } from './units'
import { getDayEnd, toLocalDay } from './zone'

/** Where a sample's days are counted: its plant's zone, and its laboratory's zone and calendar. */
export interface Places {
  plantZone: string
  laboratory: Calendar
}

/** The zone in which the days of `limit` are counted; undefined where it counts elapsed time. */
export function findCountingZone(limit: Limit, places: Places): string | undefined {
  const owner = findCalendarOwner(limit)
  return owner === null ? undefined : getOwnerZone(owner, places)
}

function getOwnerZone(owner: CalendarOwner, { plantZone, laboratory }: Places): string {
  return owner === 'plant' ? plantZone : laboratory.zone
}

/**
 * The last instant (ms UTC) at which a clock of `limit` that started at `startedAt` (ms UTC) may stop: elapsed time is
 * strict to the instant, local days run to the last millisecond of the last one.
 */
export function computeDueAt(limit: Limit, startedAt: number, places: Places): number {
  const way = findCountingMethod(limit)
  if (way.by === 'elapsed') return startedAt + limit.amount * way.ms
  const zone = getOwnerZone(getCalendarOwner(way, limit), places)
  return getDayEnd(way.lastDay(toLocalDay(startedAt, zone), limit.amount, places.laboratory), zone)
}
