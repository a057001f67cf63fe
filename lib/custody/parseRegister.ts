import type { z } from 'zod'
import {
  kit,
  laboratory,
  pickup,
  pickupCode,
  plant,
  product,
  protocolFields,
  type RegisterDocument,
  type RegisterPart,
  type RegisterParts,
  type RegisterProblem,
  registerDocument,
  service,
} from './registerDocument'
import { findReferenceProblems, toPointer } from './registerProblems'
import { readSchemaError } from './schemaError'
import { findTextFault } from './storableText'
import { certificate, code, date, duty, family, shutdown, shutdownCode } from './testingEntries'

/**
 * Checks a whole register document and lists every problem at once: shapes, zones, overlapping hours, cross-references,
 * check characters, limits and duplicate codes.
 */
export function parseRegister(
  input: unknown,
): { document: RegisterDocument; problems: [] } | { document: null; problems: RegisterProblem[] } {
  const parsed = registerDocument.safeParse(input)
  const shapes = (parsed.error?.issues ?? []).map((issue) => ({
    pointer: toPointer(...(issue.path as (string | number)[])),
    detail: readSchemaError(issue.message),
  }))
  const problems = [
    ...shapes,
    ...findTextProblems(input),
    ...findReferenceProblems(parsed.success ? toParts(parsed.data) : readParts(input)),
  ]
  if (parsed.success && problems.length === 0) return { document: parsed.data, problems: [] }
  return { document: null, problems }
}

/** Entries with a text that cannot be stored unchanged. */
function findTextProblems(input: unknown): RegisterProblem[] {
  if (typeof input !== 'object' || input === null) return []
  return Object.entries(input).flatMap(([list, entries]) => {
    const places = Array.isArray(entries)
      ? entries.map((one, index) => ({ one, path: [list, index] }))
      : [{ one: entries, path: [list] }]
    return places.flatMap(({ one, path }) => {
      const detail = findTextFault(one)
      return detail === undefined ? [] : [{ pointer: toPointer(...path), detail }]
    })
  })
}

function toParts(document: RegisterDocument): RegisterParts {
  const part = <T extends { code: string }>(entries: T[]) =>
    entries.map((content) => ({ code: content.code, content }))
  return {
    laboratories: part(document.laboratories),
    plants: part(document.plants),
    services: part(document.services),
    protocols: part(document.protocols),
    products: part(document.products),
    pickups: part(document.pickups),
    families: part(document.families),
    certificates: part(document.certificates),
    duties: part(document.duties),
    shutdowns: part(document.shutdowns),
    kits: part(document.kits),
  }
}

/** Reads as much of a document as possible, so that one malformed entry does not hide the problems of others. */
function readParts(input: unknown): RegisterParts {
  const lists = typeof input === 'object' && input !== null ? (input as Record<string, unknown>) : {}
  const part = <T>(list: string, entry: z.ZodType<T>): RegisterPart<T>[] => {
    const found = Object.hasOwn(lists, list) ? lists[list] : []
    return (Array.isArray(found) ? found : []).map((one: unknown) => {
      return { code: readCode(list, one), content: entry.safeParse(one).data ?? null }
    })
  }
  return {
    laboratories: part('laboratories', laboratory),
    plants: part('plants', plant),
    services: part('services', service),
    protocols: part('protocols', protocolFields),
    products: part('products', product),
    pickups: part('pickups', pickup),
    families: part('families', family),
    certificates: part('certificates', certificate),
    duties: part('duties', duty),
    shutdowns: part('shutdowns', shutdown),
    kits: part('kits', kit),
  }
}

/** The code of an entry that may be malformed otherwise; null if it cannot be read. */
function readCode(list: string, entry: unknown): string | null {
  const { code: named, plant, service, from } = (entry ?? {}) as Record<string, unknown>
  if (list === 'kits') return kit.shape.code.safeParse(named).data ?? null
  if (list === 'shutdowns') {
    const [plantCode, day] = [code.safeParse(plant).data, date.safeParse(from).data]
    return plantCode && day ? shutdownCode(plantCode, day) : null
  }
  if (list !== 'pickups') return code.safeParse(named).data ?? null
  const [plantCode, serviceCode] = [code.safeParse(plant).data, code.safeParse(service).data]
  return plantCode && serviceCode ? pickupCode(plantCode, serviceCode) : null
}
