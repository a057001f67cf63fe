import type { Milestone } from './milestone'

export const LIMIT_UNITS = ['hours', 'days', 'months', 'working days'] as const
export type LimitUnit = (typeof LIMIT_UNITS)[number]

/**
 * A hold limit: the longest time allowed from one milestone to another.
 *
 * `hours` and `days` counted `elapsed` are strict to the instant; `days` counted `calendar` and `months` run to
 * the end of a local day in `zone` (the laboratory's unless it says plant); `working days` run to the end of the
 * laboratory's n-th open day after the start.
 */
export interface Limit {
  name: string
  from: Milestone
  to: Milestone
  /** A whole number from 0 to 10,000 of `unit`. */
  amount: number
  unit: LimitUnit
  /** Required for days, refused elsewhere. */
  counting?: 'elapsed' | 'calendar' | undefined
  /** Serves calendar days and months, refused elsewhere. */
  zone?: 'plant' | 'laboratory' | undefined
  /** Where the limit comes from: a standard, a regulation, a contract. */
  citation?: string | undefined
}

export const LARGEST_AMOUNT = 10_000

export interface LimitFault {
  field: keyof Limit
  /** What is wrong and what would be right, as a sentence. */
  detail: string
}

/** What is wrong with a limit; empty where it is sound. */
export function limitFaults(limit: Limit): LimitFault[] {
  const faults: LimitFault[] = []
  const fault = (field: keyof Limit, detail: string) => faults.push({ field, detail })
  if (!Number.isInteger(limit.amount) || limit.amount < 0 || limit.amount > LARGEST_AMOUNT)
    fault('amount', `The amount is a whole number from 0 to 10,000, not ${limit.amount}.`)
  if (limit.unit === 'days' && !limit.counting)
    fault(
      'counting',
      'A limit in days says how they are counted: "elapsed" (to the instant) or "calendar" (to the end of the local day).',
    )
  if (limit.unit !== 'days' && limit.counting)
    fault(
      'counting',
      `Only a limit in days says how they are counted; leave "counting" out of one in ${limit.unit}.`,
    )
  const takesZone = limit.unit === 'months' || (limit.unit === 'days' && limit.counting === 'calendar')
  if (limit.zone && !takesZone)
    fault('zone', 'Only calendar days and months are counted in a zone of choice; leave "zone" out here.')
  if (limit.from === limit.to) fault('to', 'A limit runs from one milestone to another one.')
  return faults
}
