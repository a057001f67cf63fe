import { z } from 'zod'
import { LIMIT_UNITS, limitFaults } from '@/lib/hold/limit'
import { MILESTONES } from '@/lib/hold/milestone'
import { isZone, parseDay } from '@/lib/hold/zone'
import { canonical, checkCharacter, isKitCode } from './kitCode'
import { isFault, readAt } from './reading'

export const WEEKDAYS = ['sun', 'mon', 'tue', 'wed', 'thu', 'fri', 'sat'] as const
export type Weekday = (typeof WEEKDAYS)[number]

export const PURPOSES = ['first', 'duplicate', 'retained', 're-collection'] as const

const code = z.string().trim().min(1, 'A code has at least one character.').max(100)
const name = z.string().trim().min(1, 'Write a name.').max(200)
const zone = z.string().refine(isZone, { error: 'Write a zone of the IANA tz database, like Europe/Lisbon.' })
const hours = z.string().regex(/^\d{2}:\d{2}-\d{2}:\d{2}$/, 'Write hours as 08:00-16:30.')
const date = z
  .string()
  .refine((text) => parseDay(text) !== undefined, { error: 'Write a date that exists, as 2026-11-26.' })
const share = z.number().gt(0).lte(1)

const laboratory = z.looseObject({
  code,
  name,
  zone,
  receiving: z.partialRecord(z.enum(WEEKDAYS), z.array(hours)),
  closed: z.array(date).default([]),
})
const plant = z.looseObject({ code, name, zone, maker: name.optional() })
const service = z.looseObject({ code, name })
const limit = z.looseObject({
  name,
  from: z.enum(MILESTONES),
  to: z.enum(MILESTONES),
  amount: z.number(),
  unit: z.enum(LIMIT_UNITS),
  counting: z.enum(['elapsed', 'calendar']).optional(),
  zone: z.enum(['plant', 'laboratory']).optional(),
  citation: z.string().optional(),
})
const protocol = z.looseObject({
  code,
  name,
  limits: z.array(limit),
  tight: share.optional(),
  atRisk: share.optional(),
})
const product = z.looseObject({ code, plant: code, name, protocol: code })
const kit = z.looseObject({
  code: z.string().transform(canonical),
  product: code.optional(),
  plant: code,
  laboratory: code,
  service: code.optional(),
  issuedAt: z
    .string()
    .refine(isInstant, { error: 'Write an instant with its offset, as 2026-02-20T12:00:00Z.' }),
  purpose: z.enum(PURPOSES).optional(),
  replaces: z.string().transform(canonical).optional(),
})

const registerDocument = z.looseObject({
  /** From when these versions hold; now where it is absent. */
  holdsFrom: z.string().refine(isInstant, { error: 'Write an instant with its offset.' }).optional(),
  laboratories: z.array(laboratory).default([]),
  plants: z.array(plant).default([]),
  services: z.array(service).default([]),
  protocols: z.array(protocol).default([]),
  products: z.array(product).default([]),
  kits: z.array(kit).default([]),
})

export type RegisterDocument = z.infer<typeof registerDocument>
export type LaboratoryContent = z.infer<typeof laboratory>
export type PlantContent = z.infer<typeof plant>
export type ServiceContent = z.infer<typeof service>
export type ProtocolContent = z.infer<typeof protocol>
export type ProductContent = z.infer<typeof product>
export type KitContent = z.infer<typeof kit>

/** Something wrong in a register document: where, as a JSON pointer (RFC 6901), and what would be right. */
export interface RegisterProblem {
  pointer: string
  detail: string
}

function isInstant(text: string): boolean {
  return /([Zz]|[+-]\d{2}:\d{2})$/.test(text) && !isFault(readAt(text, null, null))
}

/**
 * Checks a register document whole and says all that is wrong with it at once: shapes, zones, hours that overlap,
 * cross-references, check characters, limits, codes used twice.
 */
export function parseRegister(
  input: unknown,
): { document: RegisterDocument; problems: [] } | { document: null; problems: RegisterProblem[] } {
  const parsed = registerDocument.safeParse(input)
  if (!parsed.success)
    return {
      document: null,
      problems: parsed.error.issues.map((issue) => ({
        pointer: pointerTo(...(issue.path as (string | number)[])),
        detail: issue.message,
      })),
    }
  const problems = crossProblems(parsed.data)
  return problems.length > 0 ? { document: null, problems } : { document: parsed.data, problems: [] }
}

/** A JSON pointer to a place in a document. */
function pointerTo(...path: (string | number)[]): string {
  return path.map((part) => `/${String(part).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('')
}

function crossProblems(document: RegisterDocument): RegisterProblem[] {
  const problems: RegisterProblem[] = []
  const problem = (detail: string, ...path: (string | number)[]) =>
    problems.push({ pointer: pointerTo(...path), detail })
  const places = new Map<string, string>()
  const unique = (
    list: 'laboratories' | 'plants' | 'services' | 'protocols' | 'products' | 'kits',
    seen: Map<string, string>,
  ) =>
    document[list].forEach((entry, index) => {
      const first = seen.get(entry.code)
      if (first !== undefined)
        problem(`The code "${entry.code}" is used twice; ${first} has it already.`, list, index, 'code')
      else seen.set(entry.code, pointerTo(list, index))
    })
  const services = new Map<string, string>()
  const protocols = new Map<string, string>()
  const products = new Map<string, string>()
  const kits = new Map<string, string>()
  unique('laboratories', places)
  unique('plants', places)
  unique('services', services)
  unique('protocols', protocols)
  unique('products', products)
  unique('kits', kits)

  const laboratories = new Set(document.laboratories.map((entry) => entry.code))
  const plants = new Set(document.plants.map((entry) => entry.code))
  const plantOfProduct = new Map(document.products.map((entry) => [entry.code, entry.plant]))

  document.laboratories.forEach((entry, index) => {
    const days = Object.entries(entry.receiving)
    if (!days.some(([, spans]) => spans.length > 0))
      problem(
        'A laboratory opens on at least one weekday; give it receiving hours.',
        'laboratories',
        index,
        'receiving',
      )
    for (const [day, spans] of days)
      for (const detail of hoursFaults(spans)) problem(detail, 'laboratories', index, 'receiving', day)
  })
  document.protocols.forEach((entry, index) => {
    const names = new Set<string>()
    entry.limits.forEach((one, position) => {
      if (names.has(one.name))
        problem(
          `Two limits of this protocol are called "${one.name}".`,
          'protocols',
          index,
          'limits',
          position,
          'name',
        )
      names.add(one.name)
      for (const { field, detail } of limitFaults(one))
        problem(detail, 'protocols', index, 'limits', position, field)
    })
    if (entry.tight !== undefined && entry.atRisk !== undefined && entry.tight > entry.atRisk)
      problem('"tight" comes before "atRisk"; it cannot be the larger share.', 'protocols', index, 'tight')
  })
  document.products.forEach((entry, index) => {
    if (!plants.has(entry.plant))
      problem(`No plant has the code "${entry.plant}".`, 'products', index, 'plant')
    if (!protocols.has(entry.protocol))
      problem(`No protocol has the code "${entry.protocol}".`, 'products', index, 'protocol')
  })
  document.kits.forEach((entry, index) => {
    const at = (field: string, detail: string) => problem(detail, 'kits', index, field)
    if (!isKitCode(entry.code)) at('code', kitCodeFault(entry.code))
    if (!plants.has(entry.plant)) at('plant', `No plant has the code "${entry.plant}".`)
    if (!laboratories.has(entry.laboratory))
      at('laboratory', `No laboratory has the code "${entry.laboratory}".`)
    if (entry.service !== undefined && !services.has(entry.service))
      at('service', `No service has the code "${entry.service}".`)
    if (entry.product !== undefined) {
      const owner = plantOfProduct.get(entry.product)
      if (owner === undefined) at('product', `No product has the code "${entry.product}".`)
      else if (owner !== entry.plant)
        at(
          'product',
          `Product "${entry.product}" is made by plant "${owner}", and the kit is for "${entry.plant}".`,
        )
    }
    if (entry.replaces !== undefined && !kits.has(entry.replaces))
      at('replaces', `No kit has the code "${entry.replaces}".`)
  })
  return problems
}

/** What is wrong with a canonical text that ought to be a kit code, as a sentence that says what would be right. */
export function kitCodeFault(code: string): string {
  if (!/^[0-9A-Z]{8}$/.test(code))
    return `"${code}" is not a kit code: seven characters of 0-9 A-Z and a check character.`
  return `"${code}" has a wrong check character: after ${code.slice(0, 7)} comes ${checkCharacter(code.slice(0, 7))}. Compare it with the label.`
}

/** What is wrong with the receiving hours of one weekday, such as 08:00-12:00 and 13:00-16:30. */
function hoursFaults(spans: readonly string[]): string[] {
  const minutes = (text: string) => Number(text.slice(0, 2)) * 60 + Number(text.slice(3, 5))
  const read = spans.map((text) => ({ text, from: minutes(text), to: minutes(text.slice(6)) }))
  const faults = read
    .filter(
      ({ text, from, to }) =>
        from >= to || to > 24 * 60 || Number(text.slice(3, 5)) > 59 || Number(text.slice(9)) > 59,
    )
    .map(({ text }) => `"${text}" is not a span of one day; write hours as 08:00-16:30.`)
  const ordered = [...read].sort((a, b) => a.from - b.from)
  ordered.forEach((span, index) => {
    const before = ordered[index - 1]
    if (before && span.from < before.to) faults.push(`"${before.text}" and "${span.text}" overlap.`)
  })
  return faults
}
