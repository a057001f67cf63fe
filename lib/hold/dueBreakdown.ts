import { computeDueAt, findCountingZone, type Places } from './due'
import type { Limit } from './limit'
import { type CalendarOwner, findCalendarOwner, findCountingMethod } from './units'
import { toLocalDay } from './zone'

/** A local day on the way from a start to a due: its count, or null for a closed day that is not counted. */
export interface CountedDay {
  /** Day number in the zone of counting. */
  day: number
  count: number | null
}

/** How a due was worked out, to be shown step by step. Instants in ms UTC. */
export interface DueBreakdown {
  startedAt: number
  dueAt: number
  /** The zone in which days are counted, and whose it is; null where elapsed time is counted. */
  zone: string | null
  zoneOwner: CalendarOwner | null
  /** The local day of the start, day 0. */
  startDay: number | null
  /** Every day on the way where open days are counted, else the last one. */
  steps: CountedDay[]
}

/** The days after which a list of them is cut short. */
const MAX_STEPS = 60

/** How the due of a clock of `limit` that started at `startedAt` (ms UTC) is counted. */
export function explainDue(limit: Limit, startedAt: number, places: Places): DueBreakdown {
  const due = computeDueAt(limit, startedAt, places)
  const way = findCountingMethod(limit)
  const zone = findCountingZone(limit, places)
  if (zone === undefined || way.by === 'elapsed')
    return { startedAt, dueAt: due, zone: null, zoneOwner: null, startDay: null, steps: [] }
  const startDay = toLocalDay(startedAt, zone)
  const lastDay = toLocalDay(due, zone)
  const steps =
    way.sum === 'each day'
      ? listOpenDays(limit.amount, startDay, lastDay, places)
      : [{ day: lastDay, count: limit.amount * way.sum.times }]
  return { startedAt, dueAt: due, zone, zoneOwner: findCalendarOwner(limit), startDay, steps }
}

function listOpenDays(amount: number, startDay: number, lastDay: number, places: Places): CountedDay[] {
  const steps: CountedDay[] = []
  let count = 0
  for (let day = amount === 0 ? startDay : startDay + 1; day <= lastDay; day += 1) {
    const isOpen = places.laboratory.isOpen(day)
    if (isOpen && amount > 0) count += 1
    steps.push({ day, count: isOpen ? count : null })
  }
  return steps.length > MAX_STEPS ? steps.slice(-MAX_STEPS) : steps
}
