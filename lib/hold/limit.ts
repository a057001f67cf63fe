import { isValidAmount, MAX_AMOUNT } from './calendar'
import type { Milestone } from './milestone'
import { type CalendarOwner, type Counting, type LimitUnit, UNITS } from './units'

/** What every hold limit says, whatever its unit. */
interface LimitBase {
  name: string
  from: Milestone
  to: Milestone
  /** A whole number from 0 to 10,000 of its unit. */
  amount: number
  /** Where the limit comes from: a standard, a regulation, a contract. */
  citation?: string | undefined
}

/** A hold limit: the longest time allowed from one milestone to another. `UNITS` says how each unit is counted. */
export type Limit = LimitBase & Counting

/** The fields of a limit before they are held against each other. */
export type LimitFields = LimitBase & {
  unit: LimitUnit
  /** Required where the unit can be counted both ways, refused elsewhere. */
  counting?: 'elapsed' | 'calendar' | undefined
  /** Serves local days of choice, refused elsewhere. */
  zone?: CalendarOwner | undefined
}

export interface LimitFault {
  field: keyof LimitFields
  /** What is wrong and what would be right, as a sentence. */
  detail: string
}

/** What is wrong with a limit; empty where it is sound. */
export function findLimitFaults(limit: LimitFields): LimitFault[] {
  const faults: LimitFault[] = []
  const fault = (field: keyof LimitFields, detail: string) => faults.push({ field, detail })
  if (!isValidAmount(limit.amount))
    fault(
      'amount',
      `The amount is a whole number from 0 to ${MAX_AMOUNT.toLocaleString('en-GB')}, not ${limit.amount}.`,
    )
  const { elapsed, calendar } = UNITS[limit.unit]
  const hasChoice = elapsed !== undefined && calendar !== undefined
  if (hasChoice && !limit.counting)
    fault(
      'counting',
      `A limit in ${limit.unit} says how they are counted: "elapsed" (to the instant) or "calendar" (to the end of the local day).`,
    )
  if (!hasChoice && limit.counting)
    fault('counting', `A limit in ${limit.unit} is counted in one way only; leave "counting" out.`)
  const isByCalendar = hasChoice ? limit.counting === 'calendar' : calendar !== undefined
  if (limit.zone && !(isByCalendar && calendar?.hasChoiceOfOwner))
    fault(
      'zone',
      `A limit ${limit.counting ? `of ${limit.counting} ${limit.unit}` : `in ${limit.unit}`} has no zone of choice; leave "zone" out.`,
    )
  if (limit.from === limit.to) fault('to', 'A limit runs from one milestone to another one.')
  return faults
}

/** Whether the fields of a limit fit each other, so that it can be counted. */
export function isLimit(fields: LimitFields): fields is Limit {
  return findLimitFaults(fields).length === 0
}
