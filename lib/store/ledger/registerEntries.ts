import { isDeepStrictEqual } from 'node:util'
import type pg from 'pg'
import { z } from 'zod'
import {
  kit,
  laboratory,
  pickup,
  plant,
  product,
  protocol,
  type RegisterDocument,
  service,
} from '@/lib/custody/registerDocument'
import { certificate, duty, family, shutdown } from '@/lib/custody/testingEntries'
import { withScope } from '../scope/scope'
import { statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'

/** The lists of a register document, with the kind of their entries in the ledger. */
export const REGISTER_KINDS = {
  laboratories: 'laboratory',
  plants: 'plant',
  services: 'service',
  protocols: 'protocol',
  products: 'product',
  pickups: 'pickup',
  families: 'family',
  certificates: 'certificate',
  duties: 'duty',
  shutdowns: 'shutdown',
  kits: 'kit',
} as const

export type RegisterList = keyof typeof REGISTER_KINDS
export const REGISTER_LISTS = Object.keys(REGISTER_KINDS) as RegisterList[]

export type EntryContent = Record<string, unknown>

/** A change of one entry: added if `before` is null, removed if `content` is null. */
export interface EntryChange {
  kind: string
  code: string
  content: EntryContent | null
  before: EntryContent | null
}

export interface Entry {
  kind: string
  code: string
  content: EntryContent
  /** When its newest version begins to hold, ms UTC. */
  holdsFromAt: number
}

const versionSchema = <Kind extends string, Content>(kind: Kind, content: z.ZodType<Content>) =>
  z.strictObject({ kind: z.literal(kind), code: z.string(), content, holdsFromAt: z.number() })

const VERSIONS = [
  versionSchema('laboratory', laboratory),
  versionSchema('plant', plant),
  versionSchema('service', service),
  versionSchema('protocol', protocol),
  versionSchema('product', product),
  versionSchema('pickup', pickup),
  versionSchema('family', family),
  versionSchema('certificate', certificate),
  versionSchema('duty', duty),
  versionSchema('shutdown', shutdown),
] as const

/**
 * A version or the removal of an entry other than a kit. Contents are stored as the register's schemas parse them.
 */
export const storedVersion = z.union([
  z.discriminatedUnion('kind', VERSIONS),
  z.strictObject({
    kind: z.enum(REGISTER_KINDS).exclude(['kits']),
    code: z.string(),
    content: z.null(),
    holdsFromAt: z.number(),
  }),
])

export const VERSION_COLUMNS =
  'kind, code, content, (extract(epoch from holds_from_at) * 1000)::float8 as "holdsFromAt"'

const READ_NEWEST = statement(
  z.discriminatedUnion('kind', [...VERSIONS, versionSchema('kit', kit)]),
  `select ${VERSION_COLUMNS} from (
     select distinct on (kind, code) * from register_entry order by kind, code, seq desc) as newest
   where content is not null order by kind, code`,
)

/** The newest version of every entry that was not removed, by entry key. */
export async function readEntries(client: Queryable): Promise<Map<string, Entry>> {
  const rows = await READ_NEWEST.all(client)
  return new Map(rows.map((row) => [entryKey(row.kind, row.code), row]))
}

/** The whole register as the document that would set it so. */
export async function readRegisterDocument(pool: pg.Pool): Promise<RegisterDocument> {
  return withScope(pool, 'all', async (client) => groupByList(await READ_NEWEST.all(client)))
}

export function entryKey(kind: string, code: string): string {
  return `${kind} ${code}`
}

export function groupByList<One extends { kind: string; content: unknown }>(entries: Iterable<One>) {
  const all = [...entries]
  const listContents = <Kind extends string>(kind: Kind) =>
    all
      .filter((entry): entry is One & { kind: Kind } => entry.kind === kind)
      .map((entry): (One & { kind: Kind })['content'] => entry.content)
  return {
    laboratories: listContents('laboratory'),
    plants: listContents('plant'),
    services: listContents('service'),
    protocols: listContents('protocol'),
    products: listContents('product'),
    pickups: listContents('pickup'),
    families: listContents('family'),
    certificates: listContents('certificate'),
    duties: listContents('duty'),
    shutdowns: listContents('shutdown'),
    kits: listContents('kit'),
  }
}

/** Lists what a document changes, with a short step for each entry, so that the caller can pause. */
export function* diffRegister(
  before: ReadonlyMap<string, Entry>,
  document: RegisterDocument,
): Generator<undefined, EntryChange[]> {
  const changes: EntryChange[] = []
  const named = new Set<string>()
  for (const list of REGISTER_LISTS) {
    const kind = REGISTER_KINDS[list]
    for (const content of document[list]) {
      const { code } = content
      named.add(entryKey(kind, code))
      const known = before.get(entryKey(kind, code))?.content ?? null
      if (known === null || !isSame(known, content)) changes.push({ kind, code, content, before: known })
      yield
    }
  }
  for (const [key, { kind, code, content }] of before)
    if (!named.has(key)) changes.push({ kind, code, content: null, before: content })
  return changes
}

/** Compares as JSON, like the ledger, so that neither order nor absence matters. */
function isSame(known: unknown, content: unknown): boolean {
  return isDeepStrictEqual(known, JSON.parse(JSON.stringify(content)))
}
