import { z } from 'zod'
import { parseIsoDate } from '@/lib/hold/zone'

/** What a programme's register says of what is owed: families, certificates, duties and the shutdowns of plants. */

export const CODE_MISSING = 'A code has at least one character.'
export const code = z.string().trim().min(1, CODE_MISSING).max(100)
export const name = z.string().trim().min(1, 'Write a name.').max(200)
export const date = z
  .string()
  .refine((text) => parseIsoDate(text) !== undefined, { error: 'Write a date that exists, as 2026-11-26.' })

const wholeNumber = (least: number, most: number) => {
  const error = `Write a whole number from ${least} to ${most}.`
  return z.int({ error }).min(least, { error }).max(most, { error })
}

/** Products of which one is tested for all. */
export const family = z.looseObject({
  code,
  name,
  members: z.array(code).min(1, 'Name the products that belong to it.'),
  /** The member that is cut and tested. */
  tested: code,
})

/** A certificate by its number; dates are those of the plant, and it is valid up to the end of the day it expires on. */
export const certificate = z.looseObject({
  code,
  product: code.optional(),
  family: code.optional(),
  issued: date,
  expires: date,
})

/** The longest period and window that are taken: a slip of the keyboard would let a duty rest for good. */
const MAX_MONTHS = 120
export const MAX_DAYS = 1000

/**
 * A test that is owed again and again. The first report is due on the laboratory's day `first`, each later one by the
 * end of the month so many months on. A kit counts for a test if it is issued within `windowDays` days before its due.
 */
export const duty = z.looseObject({
  code,
  product: code.optional(),
  family: code.optional(),
  /** The product's own where it is absent. */
  protocol: code.optional(),
  laboratory: code,
  service: code.optional(),
  first: date,
  /** It is owed once where it is absent. */
  everyMonths: wholeNumber(1, MAX_MONTHS).optional(),
  windowDays: wholeNumber(1, MAX_DAYS),
  /** Calendar days that a kit is on its way to the plant. */
  kitDays: wholeNumber(0, MAX_DAYS),
  /** The laboratory's working days from receipt to the chamber. */
  loadDays: wholeNumber(0, MAX_DAYS),
  /** Calendar days from the chamber to the end of the test. */
  testDays: wholeNumber(0, MAX_DAYS),
  /** The laboratory's working days from the end of the test to the report. */
  reportDays: wholeNumber(0, MAX_DAYS),
})

/** Local days, first and last, on which a plant neither cuts nor hands over. */
export const shutdown = z
  .looseObject({ plant: code, from: date, to: date, reason: name.optional() })
  .transform((entry) => ({ ...entry, code: shutdownCode(entry.plant, entry.from) }))

export type FamilyContent = z.infer<typeof family>
export type CertificateContent = z.infer<typeof certificate>
export type DutyContent = z.infer<typeof duty>
export type ShutdownContent = z.infer<typeof shutdown>

/** What a shutdown is known by: a plant begins one shutdown on a day. */
export function shutdownCode(plant: string, from: string): string {
  return `${plant} from ${from}`
}
