import type { Calendar } from './calendar'
import type { Limit } from './limit'
import { type CalendarOwner, chosenOwner, findCalendarOwner, findWay } from './units'
import { lastInstantOf, localDay } from './zone'

/** Where a sample's days are counted: its plant's zone, and its laboratory's zone and calendar. */
export interface Places {
  plantZone: string
  laboratory: Calendar
}

/** The zone in which the days of `limit` are counted; undefined where it counts elapsed time. */
export function countingZone(limit: Limit, places: Places): string | undefined {
  const owner = findCalendarOwner(limit)
  return owner === null ? undefined : zoneAt(owner, places)
}

function zoneAt(owner: CalendarOwner, { plantZone, laboratory }: Places): string {
  return owner === 'plant' ? plantZone : laboratory.zone
}

/**
 * The last instant (ms UTC) at which a clock of `limit` that started at `startedAt` (ms UTC) may stop: elapsed time is
 * strict to the instant, local days run to the last millisecond of the last one.
 */
export function dueAt(limit: Limit, startedAt: number, places: Places): number {
  const way = findWay(limit)
  if (way.by === 'elapsed') return startedAt + limit.amount * way.ms
  const zone = zoneAt(chosenOwner(way, limit), places)
  return lastInstantOf(way.lastDay(localDay(startedAt, zone), limit.amount, places.laboratory), zone)
}
