import { isDeepStrictEqual } from 'node:util'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import type { Queryable } from '../scope/transaction'

/** The lists of a register document with the kind that each one's entries have in the ledger. */
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

/** What an entry says. */
export type EntryContent = Record<string, unknown>

/** One entry that a document adds (before null), changes, or takes out (content null). */
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
  /** From when its newest version holds, ms UTC. */
  holdsFromAt: number
}

/** The newest version of every entry that has not been taken out, by kind and code. */
export async function entriesNow(client: Queryable): Promise<Map<string, Entry>> {
  const { rows } = await client.query<{
    kind: string
    code: string
    content: EntryContent | null
    holds_from_at: Date
  }>(
    'select distinct on (kind, code) kind, code, content, holds_from_at from register_entry order by kind, code, seq desc',
  )
  return new Map(
    rows.flatMap(({ kind, code, content, holds_from_at }) =>
      content
        ? [[entryKey(kind, code), { kind, code, content, holdsFromAt: Number(holds_from_at) }] as const]
        : [],
    ),
  )
}

export function entryKey(kind: string, code: string): string {
  return `${kind} ${code}`
}

/** Entries as the lists of a document. */
export function listsOf(entries: Iterable<Entry>): Record<RegisterList, EntryContent[]> {
  const lists: Record<RegisterList, EntryContent[]> = {
    laboratories: [],
    plants: [],
    services: [],
    protocols: [],
    products: [],
    pickups: [],
    families: [],
    certificates: [],
    duties: [],
    shutdowns: [],
    kits: [],
  }
  const listOf = new Map<string, RegisterList>(REGISTER_LISTS.map((list) => [REGISTER_KINDS[list], list]))
  for (const { kind, content } of entries) {
    const list = listOf.get(kind)
    if (list) lists[list].push(content)
  }
  return lists
}

/** What a document changes of the entries that there are. */
export function changesTo(before: ReadonlyMap<string, Entry>, document: RegisterDocument): EntryChange[] {
  const changes: EntryChange[] = []
  const named = new Set<string>()
  for (const list of REGISTER_LISTS) {
    const kind = REGISTER_KINDS[list]
    for (const content of document[list] as EntryContent[]) {
      const code = content.code as string
      named.add(entryKey(kind, code))
      const known = before.get(entryKey(kind, code))?.content ?? null
      if (known === null || !isSame(known, content)) changes.push({ kind, code, content, before: known })
    }
  }
  for (const [key, { kind, code, content }] of before)
    if (!named.has(key)) changes.push({ kind, code, content: null, before: content })
  return changes
}

/** Whether a content is what the ledger has of it; in JSON as there, so that neither order nor absence counts. */
function isSame(known: unknown, content: unknown): boolean {
  return isDeepStrictEqual(known, JSON.parse(JSON.stringify(content)))
}
