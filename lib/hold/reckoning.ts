import { countingZone, dueAt, type Places } from './due'
import type { Limit } from './limit'
import { type CalendarOwner, findCalendarOwner, findWay } from './units'
import { localDay } from './zone'

/** A local day on the way from a start to a due: its count, or null for a closed day that is not counted. */
export interface ReckonedDay {
  /** Day number in the zone of counting. */
  day: number
  count: number | null
}

/** How a due was worked out, to be shown step by step. Instants in ms UTC. */
export interface Reckoning {
  startedAt: number
  dueAt: number
  /** The zone in which days are counted, and whose it is; null where elapsed time is counted. */
  zone: string | null
  zoneOf: CalendarOwner | null
  /** The local day of the start, day 0. */
  startDay: number | null
  /** Every day on the way where open days are counted, else the last one. */
  steps: ReckonedDay[]
}

/** The days after which a list of them is cut short. */
const LONGEST_LIST = 60

/** How the due of a clock of `limit` that started at `startedAt` (ms UTC) is counted. */
export function reckon(limit: Limit, startedAt: number, places: Places): Reckoning {
  const due = dueAt(limit, startedAt, places)
  const way = findWay(limit)
  const zone = countingZone(limit, places)
  if (zone === undefined || way.by === 'elapsed')
    return { startedAt, dueAt: due, zone: null, zoneOf: null, startDay: null, steps: [] }
  const startDay = localDay(startedAt, zone)
  const lastDay = localDay(due, zone)
  const steps =
    way.sum === 'each day'
      ? openDays(limit.amount, startDay, lastDay, places)
      : [{ day: lastDay, count: limit.amount * way.sum.times }]
  return { startedAt, dueAt: due, zone, zoneOf: findCalendarOwner(limit), startDay, steps }
}

function openDays(amount: number, startDay: number, lastDay: number, places: Places): ReckonedDay[] {
  const steps: ReckonedDay[] = []
  let count = 0
  for (let day = amount === 0 ? startDay : startDay + 1; day <= lastDay; day += 1) {
    const isOpen = places.laboratory.isOpen(day)
    if (isOpen && amount > 0) count += 1
    steps.push({ day, count: isOpen ? count : null })
  }
  return steps.length > LONGEST_LIST ? steps.slice(-LONGEST_LIST) : steps
}
