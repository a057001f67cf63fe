import { z } from 'zod'
import { parseIsoDate } from '@/lib/hold/zone'
import { message } from '@/lib/messages/message'
import { toSchemaError } from './schemaError'

export const CODE_MISSING = message('register.code')
export const code = z.string().trim().min(1, toSchemaError(CODE_MISSING)).max(100)
export const name = z
  .string()
  .trim()
  .min(1, toSchemaError(message('register.name')))
  .max(200)
export const date = z
  .string()
  .refine((text) => parseIsoDate(text) !== undefined, { error: toSchemaError(message('register.date')) })

const wholeNumber = (min: number, max: number) => {
  const error = toSchemaError(message('register.wholeNumber', { min, max }))
  return z.int({ error }).min(min, { error }).max(max, { error })
}

/** Products that are certified together: one of them is tested for all. */
export const family = z.looseObject({
  code,
  name,
  members: z.array(code).min(1, toSchemaError(message('register.members'))),
  /** The member that is cut and tested. */
  tested: code,
})

/** A certificate; its code is its number. Dates are the plant's, and it is valid to the end of the day it expires on. */
export const certificate = z.looseObject({
  code,
  product: code.optional(),
  family: code.optional(),
  issued: date,
  expires: date,
})

/** The longest period and window. A typing error beyond them would suspend a duty for good. */
const MAX_MONTHS = 120
export const MAX_DAYS = 1000

/**
 * A test that is due regularly. The first report is due on the laboratory's local day `first`, each later one at the end
 * of the month `everyMonths` on. A kit counts for a test if it is issued within `windowDays` days before that day.
 */
export const duty = z.looseObject({
  code,
  product: code.optional(),
  family: code.optional(),
  /** Absent: the product's own. */
  protocol: code.optional(),
  laboratory: code,
  service: code.optional(),
  first: date,
  /** Absent: the test is due once. */
  everyMonths: wholeNumber(1, MAX_MONTHS).optional(),
  windowDays: wholeNumber(1, MAX_DAYS),
  /** Calendar days for a kit to reach the plant. */
  kitDays: wholeNumber(0, MAX_DAYS),
  /** The laboratory's working days from receipt to the chamber. */
  loadDays: wholeNumber(0, MAX_DAYS),
  /** Calendar days from the chamber to the end of the test. */
  testDays: wholeNumber(0, MAX_DAYS),
  /** The laboratory's working days from the end of the test to the report. */
  reportDays: wholeNumber(0, MAX_DAYS),
})

/** First and last local day on which a plant neither cuts nor hands over. */
export const shutdown = z
  .looseObject({ plant: code, from: date, to: date, reason: name.optional() })
  .transform((entry) => ({ ...entry, code: shutdownCode(entry.plant, entry.from) }))

export type FamilyContent = z.infer<typeof family>
export type CertificateContent = z.infer<typeof certificate>
export type DutyContent = z.infer<typeof duty>
export type ShutdownContent = z.infer<typeof shutdown>

/** The code of a shutdown: a plant begins at most one on a day. */
export function shutdownCode(plant: string, from: string): string {
  return `${plant} from ${from}`
}
