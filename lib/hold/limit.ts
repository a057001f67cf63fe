import { type Message, message } from '@/lib/messages/message'
import { isValidAmount, MAX_AMOUNT } from './calendar'
import type { Milestone } from './milestone'
import { type CalendarOwner, type Counting, type LimitUnit, UNITS } from './units'

interface LimitBase {
  name: string
  from: Milestone
  to: Milestone
  /** A whole number from 0 to 10,000 of its unit. */
  amount: number
  /** A least time, counted as `amount` is and not more than it; absent: it may stop at once. */
  atLeast?: number | undefined
  /** Whether the programme may extend it; absent: yes. A regulation’s limit may not be. */
  extendable?: boolean | undefined
  /** Its source: a standard, a regulation, a contract. */
  citation?: string | undefined
}

/**
 * A hold limit: the longest time allowed from one milestone to another, and the least if there is one. `UNITS` says how each
 * unit is counted.
 */
export type Limit = LimitBase & Counting

/** The fields of a limit before they are checked against each other. */
export type LimitFields = LimitBase & {
  unit: LimitUnit
  /** Required if the unit can be counted both ways, else refused. */
  counting?: 'elapsed' | 'calendar' | undefined
  /** Only for local days that can be the plant's or the laboratory's, else refused. */
  zone?: CalendarOwner | undefined
}

export interface LimitFault {
  field: keyof LimitFields
  /** What is wrong and how to put it right. */
  detail: Message
}

/** Empty if the fields fit each other and the limit can be counted. */
export function findLimitFaults(limit: LimitFields): LimitFault[] {
  const faults: LimitFault[] = []
  const fault = (field: keyof LimitFields, detail: Message) => faults.push({ field, detail })
  const { unit, amount, atLeast, counting } = limit
  if (!isValidAmount(amount))
    fault('amount', message('limit.fault.amount', { max: MAX_AMOUNT, amount: String(amount) }))
  const { elapsed, calendar } = UNITS[unit]
  const hasBoth = elapsed !== undefined && calendar !== undefined
  if (hasBoth && !counting) fault('counting', message('limit.fault.countingMissing', { unit }))
  if (!hasBoth && counting) fault('counting', message('limit.fault.countingSuperfluous', { unit }))
  const isByCalendar = hasBoth ? counting === 'calendar' : calendar !== undefined
  if (limit.zone && !(isByCalendar && calendar?.hasChoiceOfOwner))
    fault(
      'zone',
      counting
        ? message('limit.fault.zoneCounting', { counting, unit })
        : message('limit.fault.zone', { unit }),
    )
  if (atLeast !== undefined) {
    if (!isValidAmount(atLeast) || atLeast > amount)
      fault('atLeast', message('limit.fault.atLeast', { atLeast: String(atLeast) }))
    if (isByCalendar && calendar?.hasLeastTime === false)
      fault('atLeast', message('limit.fault.atLeastUnit', { unit }))
  }
  if (limit.from === limit.to) fault('to', message('limit.fault.sameMilestone'))
  return faults
}

export function isLimit(fields: LimitFields): fields is Limit {
  return findLimitFaults(fields).length === 0
}
