import { DAY, getWeekday, toDayNumber } from '@/lib/hold/zone'
import type { LaboratoryEntry } from './registerDocument'
import { formatDate, type LocalDay } from './wallClock'

/** A laboratory's invented habits, and its recurring closed days. */
export interface DemoLaboratory extends Omit<LaboratoryEntry, 'closed'> {
  /** Closed every year, as month and day of month. */
  yearly: [month: number, dayOfMonth: number][]
  /** Closed on the n-th such weekday (0 is Sunday) of these months, for maintenance of the chambers. */
  servicing: { nth: number; weekday: number; months: number[] }
  /** Chances that conditioning begins 0, 1, 2 ... open days after receipt. */
  dockSteps: number[]
  /** Chances that the report follows the end of the test by 0, 1, 2 ... open days. */
  reportSteps: number[]
}

const WHOLE_DAY = ['08:00-16:30']

export const LABORATORIES: readonly DemoLaboratory[] = [
  {
    code: 'ZEM',
    name: 'Zemmury Emissions Laboratory',
    zone: 'America/Chicago',
    receiving: {
      mon: ['07:30-12:00', '12:45-16:00'],
      tue: ['07:30-12:00', '12:45-16:00'],
      wed: ['07:30-12:00', '12:45-16:00'],
      thu: ['07:30-12:00', '12:45-16:00'],
      fri: ['07:30-12:00'],
    },
    yearly: [
      [1, 1],
      [5, 30],
      [7, 4],
      [11, 26],
      [11, 27],
      [12, 24],
      [12, 25],
      [12, 31],
    ],
    servicing: { nth: 3, weekday: 1, months: [2, 6, 9] },
    dockSteps: [0.62, 0.33, 0.05],
    reportSteps: [0, 0.4, 0.35, 0.15, 0.1],
  },
  {
    code: 'OVR',
    name: 'Ovrane Test House',
    zone: 'Europe/Copenhagen',
    receiving: {
      mon: WHOLE_DAY,
      tue: WHOLE_DAY,
      wed: WHOLE_DAY,
      thu: WHOLE_DAY,
      fri: WHOLE_DAY,
      sat: ['09:00-12:00'],
    },
    yearly: [
      [1, 1],
      [1, 2],
      [5, 1],
      [6, 5],
      [12, 24],
      [12, 25],
      [12, 26],
      [12, 31],
    ],
    servicing: { nth: 2, weekday: 3, months: [3, 8, 11] },
    dockSteps: [0.5, 0.4, 0.1],
    reportSteps: [0, 0.2, 0.35, 0.25, 0.12, 0.08],
  },
  {
    code: 'LUS',
    name: 'Lusquenne Chambers',
    zone: 'Asia/Singapore',
    receiving: {
      mon: ['08:30-17:30'],
      tue: ['08:30-17:30'],
      wed: ['08:30-17:30'],
      thu: ['08:30-17:30'],
      fri: ['08:30-17:30'],
    },
    yearly: [
      [1, 1],
      [2, 10],
      [2, 11],
      [5, 1],
      [8, 9],
      [12, 25],
    ],
    servicing: { nth: 1, weekday: 5, months: [4, 7, 10, 1] },
    dockSteps: [0.7, 0.27, 0.03],
    reportSteps: [0, 0.55, 0.3, 0.15],
  },
]

/** A laboratory's closed dates between two local days, in order. */
export function listClosedDates(laboratory: DemoLaboratory, from: LocalDay, to: LocalDay): string[] {
  const closed: LocalDay[] = []
  const firstYear = new Date(from * DAY).getUTCFullYear()
  const lastYear = new Date(to * DAY).getUTCFullYear()
  for (let year = firstYear; year <= lastYear; year++) {
    for (const [month, dayOfMonth] of laboratory.yearly) closed.push(toDayNumber(year, month, dayOfMonth))
    for (const month of laboratory.servicing.months) closed.push(findServicingDay(laboratory, year, month))
  }
  const inside = closed.filter((day) => day >= from && day <= to)
  return [...new Set(inside)].sort((a, b) => a - b).map(formatDate)
}

function findServicingDay(laboratory: DemoLaboratory, year: number, month: number): LocalDay {
  const { nth, weekday } = laboratory.servicing
  const first = toDayNumber(year, month, 1)
  return first + ((weekday - getWeekday(first) + 7) % 7) + (nth - 1) * 7
}
