import { countingZone, dueAt, type Places } from './due'
import type { Limit } from './limit'
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
  zoneOf: 'plant' | 'laboratory' | null
  /** The local day of the start, day 0. */
  startDay: number | null
  /** Working days: every day; calendar days and months: the last one. */
  steps: ReckonedDay[]
}

/** The days after which a list of working days is cut short. */
const LONGEST_LIST = 60

/** How the due of a clock of `limit` that started at `startedAt` (ms UTC) is counted. */
export function reckon(limit: Limit, startedAt: number, places: Places): Reckoning {
  const due = dueAt(limit, startedAt, places)
  const zone = countingZone(limit, places) ?? null
  if (zone === null) return { startedAt, dueAt: due, zone, zoneOf: null, startDay: null, steps: [] }
  const startDay = localDay(startedAt, zone)
  const lastDay = localDay(due, zone)
  const zoneOf = limit.unit !== 'working days' && limit.zone === 'plant' ? 'plant' : 'laboratory'
  const steps =
    limit.unit === 'working days'
      ? workingDays(limit.amount, startDay, lastDay, places)
      : [{ day: lastDay, count: limit.amount }]
  return { startedAt, dueAt: due, zone, zoneOf, startDay, steps }
}

function workingDays(amount: number, startDay: number, lastDay: number, places: Places): ReckonedDay[] {
  const steps: ReckonedDay[] = []
  let count = 0
  for (let day = amount === 0 ? startDay : startDay + 1; day <= lastDay; day += 1) {
    const isOpen = places.laboratory.isOpen(day)
    if (isOpen && amount > 0) count += 1
    steps.push({ day, count: isOpen ? count : null })
  }
  return steps.length > LONGEST_LIST ? steps.slice(-LONGEST_LIST) : steps
}
