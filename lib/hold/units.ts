import type { MessageKey, PlainMessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import { addOpenDays, type Calendar } from './calendar'
import { DAY, HOUR, toCivilDate, toDayNumber } from './zone'

/** Whose clocks and calendar local days are counted by. */
export type CalendarOwner = 'plant' | 'laboratory'

type Elapsed = { counting: 'elapsed'; zone?: undefined }
type OnCalendar = { counting: 'calendar'; zone?: CalendarOwner | undefined }
type NoChoice = { counting?: undefined; zone?: undefined }
type ZoneOnly = { counting?: undefined; zone?: CalendarOwner | undefined }

/** How a limit counts: its unit, and what that unit needs besides. */
export type Counting =
  | ({ unit: 'hours' } & NoChoice)
  | ({ unit: 'days' } & (Elapsed | OnCalendar))
  | ({ unit: 'weeks' } & (Elapsed | OnCalendar))
  | ({ unit: 'months' } & ZoneOnly)
  | ({ unit: 'working days' } & NoChoice)

export type LimitUnit = Counting['unit']

/** A message of so many ({amount}) of a unit: "1 day", "10,000 hours". */
type CountMessage = Extract<MessageKey, `count.${string}`>
type CountingLabel = Extract<MessageKey, `counting.${string}.label`>

/** Time counted to the instant. */
interface ElapsedMethod {
  by: 'elapsed'
  /** Length of one, ms. */
  ms: number
  /** The word in a CSV and the value in a form. */
  choice: string
  label: CountingLabel
  /** "10 days of 24 hours" */
  count: CountMessage
  /** {start} + {amount} of it = {due} */
  sum: 'sum.hours' | 'sum.days24' | 'sum.weeks168'
}

/** Time counted by local days, to the end of the last one. */
interface CalendarMethod {
  by: 'calendar'
  /** Its days are the laboratory's or the plant's, as the limit chooses; else always the laboratory's. */
  hasChoiceOfOwner: boolean
  /**
   * The local day at whose end `amount` are over, and with whose first instant a least time of so many is over, from the
   * local day of the start. Day numbers in the zone of counting.
   */
  lastDay(startDay: number, amount: number, laboratory: Calendar): number
  /** The word in a CSV and the value in a form; "at the plant" or "at the laboratory" follows if both are possible. */
  choice: string
  label: { laboratory: CountingLabel; plant?: CountingLabel }
  /** "10 days of the plant’s calendar" */
  count: { laboratory: CountMessage; plant?: CountMessage }
  /** Whether a limit may have a least time too: nobody knows one that is counted in months. */
  hasLeastTime: boolean
  /** Whether an amount of 0 means the end of the day of the start itself. */
  isSameDayAtZero: boolean
  /** How the count is shown: every day of it, or its last day, which is `amount` times so many days or months on. */
  sum: 'each day' | { text: 'sum.days' | 'sum.weeks' | 'sum.months'; times: number }
}

export type CountingMethod = ElapsedMethod | CalendarMethod

/** A unit of hold limits. If it has both methods, a limit says which by `counting`. */
interface Unit {
  elapsed?: ElapsedMethod
  calendar?: CalendarMethod
}

/**
 * Every unit: forms, files, dues, sums and texts follow this table. Environmental laboratories judge hours to the instant
 * (TNI SIR 76), and days and months through the end of the last one (EPA letter RO 14933, 27 May 2020).
 */
export const UNITS: Record<LimitUnit, Unit> = {
  hours: {
    elapsed: {
      by: 'elapsed',
      ms: HOUR,
      choice: 'hours',
      label: 'counting.hours.label',
      count: 'count.hours',
      sum: 'sum.hours',
    },
  },
  days: {
    elapsed: {
      by: 'elapsed',
      ms: DAY,
      choice: 'days of 24 hours',
      label: 'counting.days24.label',
      count: 'count.days24',
      sum: 'sum.days24',
    },
    calendar: {
      by: 'calendar',
      hasChoiceOfOwner: true,
      lastDay: (startDay, amount) => startDay + amount,
      choice: 'calendar days',
      label: { laboratory: 'counting.days.laboratory.label', plant: 'counting.days.plant.label' },
      count: { laboratory: 'count.days.laboratory', plant: 'count.days.plant' },
      hasLeastTime: true,
      isSameDayAtZero: true,
      sum: { text: 'sum.days', times: 1 },
    },
  },
  weeks: {
    elapsed: {
      by: 'elapsed',
      ms: 7 * DAY,
      choice: 'weeks of 168 hours',
      label: 'counting.weeks168.label',
      count: 'count.weeks168',
      sum: 'sum.weeks168',
    },
    calendar: {
      by: 'calendar',
      hasChoiceOfOwner: true,
      lastDay: (startDay, amount) => startDay + 7 * amount,
      choice: 'weeks of 7 calendar days',
      label: { laboratory: 'counting.weeks.laboratory.label', plant: 'counting.weeks.plant.label' },
      count: { laboratory: 'count.weeks.laboratory', plant: 'count.weeks.plant' },
      hasLeastTime: true,
      isSameDayAtZero: true,
      sum: { text: 'sum.weeks', times: 7 },
    },
  },
  months: {
    calendar: {
      by: 'calendar',
      hasChoiceOfOwner: true,
      lastDay: (startDay, amount) => {
        const { year, month } = toCivilDate(startDay)
        return toDayNumber(year, month + amount + 1, 0)
      },
      choice: 'months',
      label: { laboratory: 'counting.months.laboratory.label', plant: 'counting.months.plant.label' },
      count: { laboratory: 'count.months.laboratory', plant: 'count.months.plant' },
      hasLeastTime: false,
      isSameDayAtZero: false,
      sum: { text: 'sum.months', times: 1 },
    },
  },
  'working days': {
    calendar: {
      by: 'calendar',
      hasChoiceOfOwner: false,
      lastDay: addOpenDays,
      choice: 'working days of the laboratory',
      label: { laboratory: 'counting.workingDays.laboratory.label' },
      count: { laboratory: 'count.workingDays.laboratory' },
      hasLeastTime: true,
      isSameDayAtZero: false,
      sum: 'each day',
    },
  },
}

export const LIMIT_UNITS = Object.keys(UNITS) as LimitUnit[]

/**
 * How a limit is counted.
 *
 * Errors: RangeError if its unit has no such method; `findLimitFaults` finds that before.
 */
export function findCountingMethod({ unit, counting }: Counting): CountingMethod {
  const { elapsed, calendar } = UNITS[unit]
  const hasBoth = elapsed !== undefined && calendar !== undefined
  const method = hasBoth ? counting && UNITS[unit][counting] : (elapsed ?? calendar)
  if (!method) throw new RangeError(`A limit in ${unit} must say how they are counted`)
  return method
}

/** Whose local days a limit counts; null for elapsed time. */
export function findCalendarOwner(counting: Counting): CalendarOwner | null {
  const method = findCountingMethod(counting)
  return method.by === 'elapsed' ? null : getCalendarOwner(method, counting)
}

export function getCalendarOwner(method: CalendarMethod, { zone }: Counting): CalendarOwner {
  return method.hasChoiceOfOwner ? (zone ?? 'laboratory') : 'laboratory'
}

/** How much a limit allows: "10 days of the plant’s calendar". */
export function formatAllowance(t: Translate, limit: Counting & { amount: number }): string {
  const method = findCountingMethod(limit)
  const { amount } = limit
  if (method.by === 'elapsed') return t(method.count, { amount })
  return t(method.count[getCalendarOwner(method, limit)] ?? method.count.laboratory, { amount })
}

/** How a limit counts, as a form and a CSV write it: a key of `COUNTING_CHOICES`. */
export function formatCountingChoice(counting: Counting): string {
  return formatMethodChoice(findCountingMethod(counting), findCalendarOwner(counting))
}

function formatMethodChoice(method: CountingMethod, owner: CalendarOwner | null): string {
  return method.by === 'calendar' && method.hasChoiceOfOwner
    ? `${method.choice} at the ${owner}`
    : method.choice
}

interface CountingChoice {
  unit: LimitUnit
  counting?: CountingMethod['by']
  zone?: CalendarOwner
}

const CHOICES = LIMIT_UNITS.flatMap((unit) => {
  const methods = [UNITS[unit].elapsed, UNITS[unit].calendar].filter((method) => method !== undefined)
  return methods.flatMap((method) => {
    const counting = methods.length > 1 ? { counting: method.by } : {}
    const owners =
      method.by === 'calendar' && method.hasChoiceOfOwner ? (['laboratory', 'plant'] as const) : [null]
    return owners.map((owner) => ({
      choice: formatMethodChoice(method, owner),
      label:
        method.by === 'elapsed'
          ? method.label
          : (method.label[owner ?? 'laboratory'] ?? method.label.laboratory),
      says: { unit, ...counting, ...(owner && { zone: owner }) },
    }))
  })
})

/** What a limit says of how it counts, by the value in a form or the word in a CSV. */
export const COUNTING_CHOICES: ReadonlyMap<string, CountingChoice> = new Map(
  CHOICES.map(({ choice, says }) => [choice, says]),
)

/** The same choices as a person reads them. */
export const COUNTING_LABELS: ReadonlyMap<string, PlainMessageKey> = new Map(
  CHOICES.map(({ choice, label }) => [choice, label]),
)
