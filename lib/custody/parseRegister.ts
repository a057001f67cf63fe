import type { z } from 'zod'
import { type Message, message } from '@/lib/messages/message'
import {
  kit,
  laboratory,
  MAX_ENTRIES,
  type ProtocolParts,
  pickup,
  pickupCode,
  plant,
  product,
  protocol,
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

/** A document without problems, or its problems: the first of them, and how many there are. */
export type ParsedRegister =
  | { document: RegisterDocument; problems: []; problemCount: 0 }
  | { document: null; problems: RegisterProblem[]; problemCount: number }

/**
 * Checks a whole register document and lists every problem at once: shapes, zones, overlapping hours, cross-references,
 * check characters, limits and duplicate codes.
 */
export function parseRegister(input: unknown): ParsedRegister {
  const steps = parseRegisterInSteps(input, Number.POSITIVE_INFINITY)
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
  }
}

/** The same, with a short step for each entry, so that the caller can pause. Lists at most `maxProblems`. */
export function* parseRegisterInSteps(
  input: unknown,
  maxProblems: number,
): Generator<undefined, ParsedRegister> {
  const found = new FoundProblems(maxProblems)
  const isTooLong = isObject(input) && checkLengths(input, found)
  // The lists are checked entry by entry below, and if one is too long not at all.
  const others = registerDocument.safeParse(isObject(input) ? { ...input, ...NO_ENTRIES } : input)
  found.addIssues(others.error)
  const lists = isObject(input) && !isTooLong ? input : {}
  const parts = yield* parseParts(lists, found)
  for (const [list, entries] of Object.entries(lists)) yield* findTextProblems(list, entries, found)
  if (!isTooLong) yield* findReferenceProblems(parts, found.add)
  if (found.count > 0 || !others.success)
    return { document: null, problems: found.listed, problemCount: found.count }
  const contents = Object.entries(parts).map(([list, entries]) => [
    list,
    entries.map(({ content }: RegisterPart<unknown>) => content),
  ])
  return {
    document: Object.assign(others.data, Object.fromEntries(contents)),
    problems: [],
    problemCount: 0,
  }
}

class FoundProblems {
  readonly listed: RegisterProblem[] = []
  count = 0

  constructor(private readonly max: number) {}

  readonly add = (detail: Message, ...path: (string | number)[]) => {
    this.count += 1
    if (this.listed.length < this.max) this.listed.push({ pointer: toPointer(...path), detail })
  }

  /** Adds the issues of a schema for the value at `path`. */
  addIssues(error: z.ZodError | undefined, ...path: (string | number)[]): void {
    for (const issue of error?.issues ?? []) {
      if (this.listed.length < this.max)
        this.add(readSchemaError(issue.message), ...path, ...(issue.path as (string | number)[]))
      else this.count += 1
    }
  }
}

type List = keyof RegisterParts
const LISTS = Object.keys(MAX_ENTRIES) as List[]
const NO_ENTRIES = Object.fromEntries(LISTS.map((list) => [list, []]))

function isObject(input: unknown): input is Record<string, unknown> {
  return typeof input === 'object' && input !== null && !Array.isArray(input)
}

/** Adds a problem for each list that is too long. Returns whether there is one. */
function checkLengths(lists: Record<string, unknown>, found: FoundProblems): boolean {
  for (const list of LISTS) {
    const entries = Object.hasOwn(lists, list) ? lists[list] : []
    if (Array.isArray(entries) && entries.length > MAX_ENTRIES[list])
      found.add(message('register.tooManyEntries', { max: MAX_ENTRIES[list], count: entries.length }), list)
  }
  return found.count > 0
}

/** In the order of the document, so that its problems come in that order. */
function* parseParts(
  lists: Record<string, unknown>,
  found: FoundProblems,
): Generator<undefined, RegisterParts> {
  return {
    laboratories: yield* parseEntries(lists, 'laboratories', laboratory, found),
    plants: yield* parseEntries(lists, 'plants', plant, found),
    services: yield* parseEntries(lists, 'services', service, found),
    protocols: yield* parseEntries<ProtocolParts>(lists, 'protocols', protocol, found, protocolFields),
    products: yield* parseEntries(lists, 'products', product, found),
    pickups: yield* parseEntries(lists, 'pickups', pickup, found),
    families: yield* parseEntries(lists, 'families', family, found),
    certificates: yield* parseEntries(lists, 'certificates', certificate, found),
    duties: yield* parseEntries(lists, 'duties', duty, found),
    shutdowns: yield* parseEntries(lists, 'shutdowns', shutdown, found),
    kits: yield* parseEntries(lists, 'kits', kit, found),
  }
}

/**
 * Parses the entries of one list. Reads as much of a malformed one as possible, by `looser` if there is one, so that it
 * does not hide the problems of others.
 */
function* parseEntries<T extends { code: string }>(
  lists: Record<string, unknown>,
  list: List,
  schema: z.ZodType<T>,
  found: FoundProblems,
  looser?: z.ZodType<T>,
): Generator<undefined, RegisterPart<T>[]> {
  const entries = Object.hasOwn(lists, list) ? lists[list] : undefined
  if (entries === undefined) return []
  if (!Array.isArray(entries)) {
    found.addIssues(registerDocument.shape[list].safeParse(entries).error, list)
    return []
  }
  const parts: RegisterPart<T>[] = []
  for (const [index, entry] of entries.entries()) {
    const { data, error } = schema.safeParse(entry)
    if (data) parts.push({ code: data.code, content: data })
    else {
      found.addIssues(error, list, index)
      parts.push({ code: readCode(list, entry), content: looser?.safeParse(entry).data ?? null })
    }
    yield
  }
  return parts
}

/** Adds the entries with a text that cannot be stored unchanged. */
function* findTextProblems(list: string, entries: unknown, found: FoundProblems): Generator<undefined, void> {
  const places = Array.isArray(entries)
    ? entries.map((one, index) => ({ one, path: [list, index] }))
    : [{ one: entries, path: [list] }]
  for (const { one, path } of places) {
    const detail = findTextFault(one)
    if (detail !== undefined) found.add(detail, ...path)
    yield
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
