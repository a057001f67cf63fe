import type { Translate } from '@/lib/messages/translate'
import { addOpenDays, type Calendar } from './calendar'
import { DAY, HOUR, toCivilDate, toDayNumber } from './zone'

/** Whose clocks and calendar local days are counted by. */
export type CalendarOwner = 'plant' | 'laboratory'

type Elapsed = { counting: 'elapsed'; zone?: undefined }
type OnCalendar = { counting: 'calendar'; zone?: CalendarOwner | undefined }
type NoChoice = { counting?: undefined; zone?: undefined }
type ZoneOnly = { counting?: undefined; zone?: CalendarOwner | undefined }

/** How a limit counts: a member for each unit, with what a limit in it says besides. */
export type Counting =
  | ({ unit: 'hours' } & NoChoice)
  | ({ unit: 'days' } & (Elapsed | OnCalendar))
  | ({ unit: 'weeks' } & (Elapsed | OnCalendar))
  | ({ unit: 'months' } & ZoneOnly)
  | ({ unit: 'working days' } & NoChoice)

export type LimitUnit = Counting['unit']

/** Time counted to the instant. */
interface ElapsedMethod {
  by: 'elapsed'
  /** Length of one, ms. */
  ms: number
  /** The choice in a form and the word in a CSV. */
  choice: string
  /** "10 days of 24 hours"; `count` is the amount with the unit's name. */
  text(count: string): string
  /** What is added to the start, as a sum shows it: "10 × 24 hours"; `count` is the amount with the unit's name. */
  addend(amount: string, count: string): string
}

/** Time counted by local days, to the end of the last one. */
interface CalendarMethod {
  by: 'calendar'
  /** Its days are the laboratory's or the plant's, as the limit chooses; else always the laboratory's. */
  hasChoiceOfOwner: boolean
  /** The local day at whose end `amount` are over, from the local day of the start. Day numbers in the zone of counting. */
  lastDay(startDay: number, amount: number, laboratory: Calendar): number
  /** The choice in a form and the word in a CSV; "at the plant" or "at the laboratory" follows where there is a choice of whose they are. */
  choice: string
  /** "10 days of the plant’s calendar"; `count` is the amount with the unit's name. */
  text(count: string, owner: CalendarOwner): string
  /** Where an amount of 0 means the end of the day of the start itself. */
  isSameDayAtZero: boolean
  /** How the sum is told: each day on the way, or the start's place and the last day's, which is `amount` times so many on. */
  sum: 'each day' | { start: string; last: string; times: number }
}

export type CountingMethod = ElapsedMethod | CalendarMethod

/** A unit of hold limits. Where it can be counted in both ways, a limit says which by `counting`. */
interface Unit {
  /** One of it; more than one end in s. */
  one: string
  elapsed?: ElapsedMethod
  calendar?: CalendarMethod
}

const formatCalendarCount = (count: string, owner: CalendarOwner) => `${count} of the ${owner}’s calendar`

/**
 * Every unit, with all that is known of it: forms, files, dues, sums and words follow this table.
 * Environmental laboratories judge hours to the instant (TNI SIR 76), and days and months through the end of the last
 * one (EPA letter RO 14933, 27 May 2020).
 */
export const UNITS: Record<LimitUnit, Unit> = {
  hours: {
    one: 'hour',
    elapsed: {
      by: 'elapsed',
      ms: HOUR,
      choice: 'hours',
      text: (count) => count,
      addend: (_, count) => count,
    },
  },
  days: {
    one: 'day',
    elapsed: {
      by: 'elapsed',
      ms: DAY,
      choice: 'days of 24 hours',
      text: (count) => `${count} of 24 hours`,
      addend: (amount) => `${amount} × 24 hours`,
    },
    calendar: {
      by: 'calendar',
      hasChoiceOfOwner: true,
      lastDay: (startDay, amount) => startDay + amount,
      choice: 'calendar days',
      text: formatCalendarCount,
      isSameDayAtZero: true,
      sum: { start: 'is day 0', last: 'day', times: 1 },
    },
  },
  weeks: {
    one: 'week',
    elapsed: {
      by: 'elapsed',
      ms: 7 * DAY,
      choice: 'weeks of 168 hours',
      text: (count) => `${count} of 168 hours`,
      addend: (amount) => `${amount} × 168 hours`,
    },
    calendar: {
      by: 'calendar',
      hasChoiceOfOwner: true,
      lastDay: (startDay, amount) => startDay + 7 * amount,
      choice: 'weeks of 7 calendar days',
      text: (count, owner) => formatCalendarCount(`${count} of 7 days`, owner),
      isSameDayAtZero: true,
      sum: { start: 'is day 0', last: 'day', times: 7 },
    },
  },
  months: {
    one: 'month',
    calendar: {
      by: 'calendar',
      hasChoiceOfOwner: true,
      lastDay: (startDay, amount) => {
        const { year, month } = toCivilDate(startDay)
        return toDayNumber(year, month + amount + 1, 0)
      },
      choice: 'months',
      text: formatCalendarCount,
      isSameDayAtZero: false,
      sum: { start: 'lies in month 0', last: 'month', times: 1 },
    },
  },
  'working days': {
    one: 'working day',
    calendar: {
      by: 'calendar',
      hasChoiceOfOwner: false,
      lastDay: addOpenDays,
      choice: 'working days of the laboratory',
      text: (count) => `${count} of the laboratory`,
      isSameDayAtZero: false,
      sum: 'each day',
    },
  },
}

/** An amount with the name of its unit: "1 day", "10,000 hours". */
export function formatCount(t: Translate, { unit, amount }: { unit: LimitUnit; amount: number }): string {
  return `${amount.toLocaleString('en-GB')} ${UNITS[unit].one}${amount === 1 ? '' : 's'}`
}

export const LIMIT_UNITS = Object.keys(UNITS) as LimitUnit[]

/**
 * The way in which a limit counts.
 *
 * Errors: RangeError where its unit has no such way; `findLimitFaults` tells of it before.
 */
export function findCountingMethod({ unit, counting }: Counting): CountingMethod {
  const { elapsed, calendar } = UNITS[unit]
  const isToBeSaid = elapsed !== undefined && calendar !== undefined
  const way = isToBeSaid ? counting && UNITS[unit][counting] : (elapsed ?? calendar)
  if (!way) throw new RangeError(`A limit in ${unit} says how they are counted`)
  return way
}

/** Whose local days a limit counts; null where it counts elapsed time. */
export function findCalendarOwner(count: Counting): CalendarOwner | null {
  const way = findCountingMethod(count)
  return way.by === 'elapsed' ? null : getCalendarOwner(way, count)
}

/** The same where its way is known to count local days. */
export function getCalendarOwner(way: CalendarMethod, { zone }: Counting): CalendarOwner {
  return way.hasChoiceOfOwner ? (zone ?? 'laboratory') : 'laboratory'
}

/** How a limit counts, as a form and a CSV write it: one of `CHOICES`. */
export function formatCountingChoice(count: Counting): string {
  return formatMethodChoice(findCountingMethod(count), findCalendarOwner(count))
}

function formatMethodChoice(way: CountingMethod, owner: CalendarOwner | null): string {
  return way.by === 'calendar' && way.hasChoiceOfOwner ? `${way.choice} at the ${owner}` : way.choice
}

/** What a limit says of how it counts, by the choice in a form or the word in a CSV. */
export const COUNTING_CHOICES: ReadonlyMap<
  string,
  { unit: LimitUnit; counting?: CountingMethod['by']; zone?: CalendarOwner }
> = new Map(
  LIMIT_UNITS.flatMap((unit) => {
    const ways = [UNITS[unit].elapsed, UNITS[unit].calendar].filter((way) => way !== undefined)
    return ways.flatMap((way) => {
      const counting = ways.length > 1 ? { counting: way.by } : {}
      const zones =
        way.by === 'calendar' && way.hasChoiceOfOwner ? (['laboratory', 'plant'] as const) : [null]
      return zones.map(
        (zone) => [formatMethodChoice(way, zone), { unit, ...counting, ...(zone && { zone }) }] as const,
      )
    })
  }),
)
