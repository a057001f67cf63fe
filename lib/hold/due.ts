import { type Calendar, openDayAfter } from './calendar'
import type { Limit } from './limit'
import { civilDate, DAY, dayNumber, HOUR, lastInstantOf, localDay } from './zone'

/** Where a sample's days are counted: its plant's zone, and its laboratory's zone and calendar. */
export interface Places {
  plantZone: string
  laboratory: Calendar
}

/** The zone in which the days of `limit` are counted; undefined where it counts elapsed time. */
export function countingZone(limit: Limit, places: Places): string | undefined {
  if (limit.unit === 'hours' || limit.counting === 'elapsed') return undefined
  if (limit.unit === 'working days') return places.laboratory.zone
  return limit.zone === 'plant' ? places.plantZone : places.laboratory.zone
}

/**
 * The last instant (ms UTC) at which a clock of `limit` that started at `startedAt` (ms UTC) may stop.
 *
 * Hours and elapsed days are strict to the instant; calendar days, months and working days run to the last
 * millisecond of a local day. Environmental laboratories judge them so: TNI SIR 76 for hours, EPA letter
 * RO 14933 (27 May 2020) for days and months.
 */
export function dueAt(limit: Limit, startedAt: number, places: Places): number {
  if (limit.unit === 'hours') return startedAt + limit.amount * HOUR
  if (limit.unit === 'days' && limit.counting === 'elapsed') return startedAt + limit.amount * DAY
  const zone = countingZone(limit, places) as string
  return lastInstantOf(lastDay(limit, localDay(startedAt, zone), places), zone)
}

/** The local day at whose end a calendar limit is due, from the local day `start` of its start. */
function lastDay(limit: Limit, start: number, places: Places): number {
  switch (limit.unit) {
    case 'months': {
      const { year, month } = civilDate(start)
      return dayNumber(year, month + limit.amount + 1, 0)
    }
    case 'working days':
      return openDayAfter(start, limit.amount, places.laboratory)
    default:
      return start + limit.amount
  }
}
