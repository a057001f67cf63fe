import { createCalendar } from '@/lib/hold/calendar'
import type { Clock } from '@/lib/hold/clock'
import type { Places } from '@/lib/hold/due'
import { isLimit, type Limit, type LimitFields } from '@/lib/hold/limit'
import { parseIsoDate } from '@/lib/hold/zone'

/** Monday to Friday, 0 being Sunday. */
export const WORKWEEK: ReadonlySet<number> = new Set([1, 2, 3, 4, 5])

export const ms = (text: string) => Date.parse(text)
export const iso = (at: number | null) => (at === null ? null : new Date(at).toISOString())
export const day = (date: string) => parseIsoDate(date) as number
export const days = (...dates: string[]) => new Set(dates.map(day))

/** A plant in Lisbon and a laboratory in New York that opens from Monday to Friday, except on `closed` dates. */
export function places(...closed: string[]): Places {
  const versions = [{ weekdays: WORKWEEK, closed: days(...closed), holdsFromAt: Number.NEGATIVE_INFINITY }]
  return { plantZone: 'Europe/Lisbon', laboratory: createCalendar('America/New_York', versions) }
}

export function limitFields(parts: Partial<LimitFields> = {}): LimitFields {
  return { name: 'cut to chamber', from: 'collected', to: 'loaded', amount: 10, unit: 'hours', ...parts }
}

/** Errors: RangeError if the fields do not fit each other. */
export function limit(parts: Partial<LimitFields> = {}): Limit {
  const fields = limitFields(parts)
  if (!isLimit(fields)) throw new RangeError(JSON.stringify(fields))
  return fields
}

/** A clock that started at 0 and is due at 100 ms, by default. */
export function clock(parts: Partial<Clock> & { name?: string } = {}): Clock {
  const { name, ...rest } = parts
  return {
    limit: limit({ name: name ?? 'cut to chamber' }),
    startedAt: 0,
    stoppedAt: null,
    stoppedEarliestAt: rest.stoppedAt ?? null,
    earliestStopAt: null,
    dueAt: 100,
    firstDueAt: null,
    isEnded: false,
    isNotReported: false,
    ...rest,
  }
}
