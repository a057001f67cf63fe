import { TZDate } from '@date-fns/tz'
import { addDays, addHours, addMonths, endOfDay, endOfMonth, isWeekend } from 'date-fns'
import { Temporal } from 'temporal-polyfill'
import { createCalendar } from '@/lib/hold/calendar'
import { buildClock, getClockState } from '@/lib/hold/clock'
import type { Places } from '@/lib/hold/due'
import type { Limit } from '@/lib/hold/limit'
import { DAY, HOUR } from '@/lib/hold/zone'
import { type Comparison, compare } from './compare'

const ZONES = [
  'America/New_York',
  'Europe/Lisbon',
  'Asia/Kolkata',
  'America/Sao_Paulo',
  'Australia/Lord_Howe',
  'America/Chicago',
]
const WORKWEEK = { weekdays: new Set([1, 2, 3, 4, 5]), closed: new Set<number>(), holdsFromAt: 0 }
const NOW = Date.UTC(2026, 10, 10, 12)
const PLACES: Places[] = ZONES.map((zone, index) => ({
  plantZone: zone,
  laboratory: createCalendar(ZONES[(index + 1) % ZONES.length] as string, [WORKWEEK]),
}))
const LIMITS: Limit[] = [
  { name: 'hours', from: 'collected', to: 'dispatched', amount: 24, unit: 'hours' },
  { name: 'calendar days', from: 'collected', to: 'loaded', amount: 10, unit: 'days', counting: 'calendar' },
  { name: 'elapsed days', from: 'produced', to: 'loaded', amount: 30, unit: 'days', counting: 'elapsed' },
  { name: 'working days', from: 'received', to: 'loaded', amount: 3, unit: 'working days' },
  { name: 'months', from: 'produced', to: 'reported', amount: 1, unit: 'months' },
]

/** The n-th case: a limit, a place, and a start spread evenly over the two years before 2027. */
function makeCase(n: number): { limit: Limit; places: Places; startedAt: number } {
  const startedAt = Date.UTC(2025, 0, 1) + ((n * 7_919_000_003) % (730 * DAY))
  return { limit: LIMITS[n % LIMITS.length] as Limit, places: PLACES[n % PLACES.length] as Places, startedAt }
}

function countOverrun(count: number): number {
  let overrun = 0
  for (let n = 0; n < count; n += 1) {
    const { limit, places, startedAt } = makeCase(n)
    if (getClockState(buildClock(limit, { startedAt, stoppedAt: null }, places), NOW) === 'overrun')
      overrun += 1
  }
  return overrun
}

/** The same arithmetic as date-fns' documentation suggests. */
function countOverrunByDateFns(count: number): number {
  let overrun = 0
  for (let n = 0; n < count; n += 1) {
    const { limit, places, startedAt } = makeCase(n)
    if (NOW > computeDueByDateFns(limit, places, startedAt)) overrun += 1
  }
  return overrun
}

function computeDueByDateFns(limit: Limit, places: Places, startedAt: number): number {
  const start = new TZDate(startedAt, places.laboratory.zone)
  if (limit.unit === 'hours') return addHours(start, limit.amount).getTime()
  if (limit.counting === 'elapsed') return startedAt + limit.amount * DAY
  if (limit.unit === 'months') return endOfMonth(addMonths(start, limit.amount)).getTime()
  if (limit.unit === 'days') return endOfDay(addDays(start, limit.amount)).getTime()
  let day = start
  for (let left = limit.amount; left > 0; ) {
    day = addDays(day, 1)
    if (!isWeekend(day)) left -= 1
  }
  return endOfDay(day).getTime()
}

function countOverrunByTemporal(count: number): number {
  let overrun = 0
  for (let n = 0; n < count; n += 1) {
    const { limit, places, startedAt } = makeCase(n)
    if (NOW > computeDueByTemporal(limit, places, startedAt)) overrun += 1
  }
  return overrun
}

function computeDueByTemporal(limit: Limit, places: Places, startedAt: number): number {
  if (limit.unit === 'hours') return startedAt + limit.amount * HOUR
  if (limit.counting === 'elapsed') return startedAt + limit.amount * DAY
  const { zone } = places.laboratory
  const start = Temporal.Instant.fromEpochMilliseconds(startedAt).toZonedDateTimeISO(zone).toPlainDate()
  let day = start
  if (limit.unit === 'months')
    day = start
      .with({ day: 1 })
      .add({ months: limit.amount + 1 })
      .subtract({ days: 1 })
  else if (limit.unit === 'days') day = start.add({ days: limit.amount })
  else
    for (let left = limit.amount; left > 0; ) {
      day = day.add({ days: 1 })
      if (day.dayOfWeek < 6) left -= 1
    }
  return day.add({ days: 1 }).toZonedDateTime(zone).epochMilliseconds - 1
}

/** Judges a million clocks, against the same with date-fns and with Temporal (fewer of these, timed per clock). */
export function benchClocks(): Comparison[] {
  const few = 50_000
  const answers = [countOverrun(few), countOverrunByDateFns(few), countOverrunByTemporal(few)]
  if (new Set(answers).size !== 1) throw new Error(`The three ways do not agree: ${answers.join(', ')}`)
  const plainest = {
    name: 'the same in date-fns calls',
    count: few,
    run: () => void countOverrunByDateFns(few),
  }
  const temporal = {
    name: 'the same in temporal-polyfill',
    count: few,
    run: () => void countOverrunByTemporal(few),
  }
  const subject = { name: '1,000,000 clocks', count: 1_000_000, run: () => void countOverrun(1_000_000) }
  return [
    compare('clocks against date-fns', subject, plainest, { aim: 'at least 20 times as fast', aimRatio: 20 }),
    compare('clocks against Temporal', subject, temporal, { aim: 'none set' }),
  ]
}
