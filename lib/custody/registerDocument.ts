import { z } from 'zod'
import { createHolidayLookup, type HolidayRule } from '@/lib/hold/holidayRule'
import { findLimitFaults, isLimit, type Limit } from '@/lib/hold/limit'
import { MILESTONES } from '@/lib/hold/milestone'
import { LIMIT_UNITS } from '@/lib/hold/units'
import { getWeekday, isZone, toDayNumber } from '@/lib/hold/zone'
import { type Message, message } from '@/lib/messages/message'
import { conditionRules } from './conditionRules'
import { toCanonical } from './kitCode'
import { isReadingFault, type Reading, readTime } from './reading'
import { toSchemaError } from './schemaError'
import {
  type CertificateContent,
  certificate,
  code,
  type DutyContent,
  date,
  duty,
  type FamilyContent,
  family,
  name,
  type ShutdownContent,
  shutdown,
} from './testingEntries'

export const WEEKDAYS = ['sun', 'mon', 'tue', 'wed', 'thu', 'fri', 'sat'] as const
export type Weekday = (typeof WEEKDAYS)[number]

export const PURPOSES = ['first', 'duplicate', 'retained', 're-collection'] as const

const zone = z.string().refine(isZone, { error: toSchemaError(message('register.zone')) })
const hours = z.string().regex(/^\d{2}:\d{2}-\d{2}:\d{2}$/, toSchemaError(message('register.hoursForm')))
const chance = z.number().gt(0).lte(1)

const month = z.int().min(1).max(12)
const weekday = z.enum(WEEKDAYS, { error: toSchemaError(message('register.weekdays')) })
const holidayFields = { name, observed: z.boolean().optional() }

/** One a day; each costs time in every year that is computed. */
const MAX_HOLIDAYS = 366

/** One day every other week, so that a count of open days ends within decades. */
const MIN_OPEN_DAYS = 26

/** Twenty years. */
export const MAX_CLOSED_DAYS = 7_320
export const TOO_MANY_CLOSED = message('register.tooManyClosed', { max: MAX_CLOSED_DAYS })

/** The most entries of each list. Every kit that was ever issued is one; the others are far more than a programme has. */
export const MAX_ENTRIES = {
  laboratories: 1_000,
  plants: 5_000,
  services: 1_000,
  protocols: 1_000,
  products: 20_000,
  pickups: 10_000,
  families: 5_000,
  certificates: 20_000,
  duties: 20_000,
  shutdowns: 10_000,
  kits: 100_000,
} as const

/** A holiday that is computed for each year. */
const holiday = z.discriminatedUnion('on', [
  z.object({ ...holidayFields, on: z.literal('date'), month, day: z.int().min(1).max(31) }),
  z.object({
    ...holidayFields,
    on: z.literal('weekday'),
    nth: z.union([z.literal([1, 2, 3, 4, 5]), z.literal('last')]),
    weekday,
    month,
  }),
  z.object({ ...holidayFields, on: z.literal('easter'), days: z.int().min(-366).max(366) }),
])

const laboratoryFields = z.looseObject({
  code,
  name,
  zone,
  receiving: z.partialRecord(z.enum(WEEKDAYS), z.array(hours)),
  closed: z.array(date).max(MAX_CLOSED_DAYS, toSchemaError(TOO_MANY_CLOSED)).default([]),
  holidays: z
    .array(holiday)
    .max(MAX_HOLIDAYS, toSchemaError(message('register.tooManyHolidays', { max: MAX_HOLIDAYS })))
    .optional(),
})

/** The part of a laboratory's entry that says when it is open. */
export const openingDays = laboratoryFields.pick({ receiving: true, closed: true, holidays: true })
export const laboratory = laboratoryFields.refine(hasEnoughOpenDays, {
  path: ['holidays'],
  error: toSchemaError(message('register.tooFewOpenDays', { min: MIN_OPEN_DAYS })),
})

export const plant = z.looseObject({
  code,
  name,
  zone,
  maker: name.optional(),
  /** The weekdays on which it cuts and hands over; absent: Monday to Friday. */
  workdays: z.array(weekday).optional(),
})

export const service = z.looseObject({ code, name })
const limitFields = z.looseObject({
  name,
  from: z.enum(MILESTONES),
  to: z.enum(MILESTONES),
  amount: z.number(),
  unit: z.enum(LIMIT_UNITS),
  counting: z.enum(['elapsed', 'calendar']).optional(),
  atLeast: z.number().optional(),
  extendable: z.boolean().optional(),
  zone: z.enum(['plant', 'laboratory']).optional(),
  citation: z.string().optional(),
})

/** A hold limit whose fields are consistent. Every limit from outside is read by this schema. */
export const limit = limitFields.transform((fields, context): Limit => {
  if (isLimit(fields)) return fields
  for (const { field, detail } of findLimitFaults(fields))
    context.issues.push({
      code: 'custom',
      input: fields[field],
      path: [field],
      message: toSchemaError(detail),
    })
  return z.NEVER
})

/** A protocol before the fields of its limits are checked against each other. */
export const protocolFields = z.looseObject({
  code,
  name,
  limits: z.array(limitFields),
  tight: chance.optional(),
  atRisk: chance.optional(),
  /** Which temperatures are right at receipt, and how grave each fault is. */
  condition: conditionRules.optional(),
})

export const protocol = protocolFields.extend({ limits: z.array(limit) })
export const product = z.looseObject({ code, plant: code, name, protocol: code })
const hour = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, toSchemaError(message('register.pickupHour')))
/** When a service collects at a plant, by weekday; a weekday without an hour has no pickup. */
export const pickup = z
  .looseObject({ plant: code, service: code, hours: z.partialRecord(z.enum(WEEKDAYS), hour) })
  .transform((entry) => ({ ...entry, code: pickupCode(entry.plant, entry.service) }))
export const kit = z.looseObject({
  code: z.string().transform(toCanonical),
  product: code.optional(),
  plant: code,
  laboratory: code,
  service: code.optional(),
  issuedAt: z.string().refine(isInstant, { error: toSchemaError(message('register.instant')) }),
  purpose: z.enum(PURPOSES).optional(),
  /** The local date on which it was posted to the plant. Absent: when it was issued. */
  posted: z.union([z.literal('not yet'), date]).optional(),
  replaces: z.string().transform(toCanonical).optional(),
})

export const registerDocument = z.looseObject({
  /** The instant from which these versions hold. Absent: now. */
  holdsFrom: z
    .string()
    .refine(isInstant, { error: toSchemaError(message('register.instant')) })
    .optional(),
  laboratories: z.array(laboratory).default([]),
  plants: z.array(plant).default([]),
  services: z.array(service).default([]),
  protocols: z.array(protocol).default([]),
  products: z.array(product).default([]),
  pickups: z.array(pickup).default([]),
  families: z.array(family).default([]),
  certificates: z.array(certificate).default([]),
  duties: z.array(duty).default([]),
  shutdowns: z.array(shutdown).default([]),
  kits: z.array(kit).default([]),
})

export type RegisterDocument = z.infer<typeof registerDocument>
export type LaboratoryContent = z.infer<typeof laboratory>
export type PlantContent = z.infer<typeof plant>
export type ServiceContent = z.infer<typeof service>
export type ProtocolContent = z.infer<typeof protocol>
export type ProductContent = z.infer<typeof product>
export type PickupContent = z.infer<typeof pickup>
export type KitContent = z.infer<typeof kit>
export type HolidayContent = z.infer<typeof holiday>

/** The code of the pickups of a service at a plant: there is one entry for each pair. */
export function pickupCode(plant: string, service: string): string {
  return `${plant} by ${service}`
}

export function toHolidayRule(content: HolidayContent): HolidayRule {
  const { observed = false, ...rest } = content
  if (rest.on !== 'weekday') return { ...rest, isObserved: observed }
  return { ...rest, weekday: WEEKDAYS.indexOf(rest.weekday), isObserved: observed }
}

export function toHolidayContent(rule: HolidayRule): HolidayContent {
  const { isObserved, ...rest } = rule
  const observed = isObserved ? { observed: true } : {}
  if (rest.on !== 'weekday') return { ...rest, ...observed }
  return { ...rest, weekday: WEEKDAYS[rest.weekday] as Weekday, ...observed }
}

/** Enough years to include a leap year and most weekdays of 1 January. */
const SAMPLED_YEARS = 4
const SAMPLED_FROM = toDayNumber(2025, 1, 1)

/** Whether holidays leave a laboratory enough open days. True without receiving hours, which is another fault. */
function hasEnoughOpenDays({ receiving, holidays = [] }: z.infer<typeof openingDays>): boolean {
  if (holidays.length === 0) return true
  const weekdays = new Set(WEEKDAYS.flatMap((day, index) => (receiving[day]?.length ? [index] : [])))
  const findHoliday = createHolidayLookup(holidays.map(toHolidayRule))
  const days = Array.from({ length: SAMPLED_YEARS * 365 }, (_, index) => SAMPLED_FROM + index)
  const open = days.filter((day) => weekdays.has(getWeekday(day)) && findHoliday(day) === null)
  return weekdays.size === 0 || open.length >= SAMPLED_YEARS * MIN_OPEN_DAYS
}

function isInstant(text: string): boolean {
  return !isReadingFault(readTime(text, null, null))
}

/** The instant from which a document's versions hold, ms UTC; null: from its arrival. */
export function getHoldsFromAt(document: RegisterDocument): number | null {
  return document.holdsFrom === undefined
    ? null
    : (readTime(document.holdsFrom, null, null) as Reading).earliestAt
}

/** Something wrong in a register document. `pointer` is a JSON pointer (RFC 6901). */
export interface RegisterProblem {
  pointer: string
  detail: Message
}

/** An entry as far as it can be read; its content is null if it has the wrong shape. */
export interface RegisterPart<T> {
  code: string | null
  content: T | null
}

/** The part of a protocol that is checked even if single limits are wrong. */
export type ProtocolParts = Pick<ProtocolContent, 'code' | 'tight' | 'atRisk'> & {
  limits: readonly { name: string }[]
}

export interface RegisterParts {
  laboratories: RegisterPart<LaboratoryContent>[]
  plants: RegisterPart<PlantContent>[]
  services: RegisterPart<ServiceContent>[]
  protocols: RegisterPart<ProtocolParts>[]
  products: RegisterPart<ProductContent>[]
  pickups: RegisterPart<PickupContent>[]
  families: RegisterPart<FamilyContent>[]
  certificates: RegisterPart<CertificateContent>[]
  duties: RegisterPart<DutyContent>[]
  shutdowns: RegisterPart<ShutdownContent>[]
  kits: RegisterPart<KitContent>[]
}
