import { computeDueAt, findCountingZone, type Places } from './due'
import type { Limit } from './limit'
import { type CalendarOwner, findCalendarOwner, findCountingMethod } from './units'
import { toLocalDay } from './zone'

/** A local day between a start and a due. `count` is null on a closed day. */
export interface CountedDay {
  /** Day number in the zone of counting. */
  day: number
  count: number | null
}

/** How a due follows from a start, step by step. Instants in ms UTC. */
export interface DueBreakdown {
  startedAt: number
  dueAt: number
  /** The zone in which days are counted, and whose it is; null for elapsed time. */
  zone: string | null
  zoneOwner: CalendarOwner | null
  /** The local day of the start, day 0. */
  startDay: number | null
  /** Every day if open days are counted, else only the last. */
  steps: CountedDay[]
}

/** A longer list keeps only its last days. */
const MAX_STEPS = 60

export function explainDue(limit: Limit, startedAt: number, places: Places): DueBreakdown {
  const due = computeDueAt(limit, startedAt, places)
  const method = findCountingMethod(limit)
  const zone = findCountingZone(limit, places)
  if (zone === undefined || method.by === 'elapsed')
    return { startedAt, dueAt: due, zone: null, zoneOwner: null, startDay: null, steps: [] }
  const startDay = toLocalDay(startedAt, zone)
  const lastDay = toLocalDay(due, zone)
  const steps =
    method.sum === 'each day'
      ? listOpenDays(limit.amount, startDay, lastDay, places)
      : [{ day: lastDay, count: limit.amount * method.sum.times }]
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
