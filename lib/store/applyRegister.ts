import { isDeepStrictEqual } from 'node:util'
import type pg from 'pg'
import { holdsFromAt, type RegisterDocument } from '@/lib/custody/registerDocument'
import { currentRegister } from './currentRegister'
import { derive } from './derive'
import type { Queryable } from './eventLedger'
import { touching } from './eventsBearing'
import { instantText } from './instantText'
import { samplesConcerned } from './samplesConcerned'
import { asWriter } from './writer'

/** What applying a register document did, in numbers of entries, and of samples derived again. */
export interface RegisterChange {
  added: number
  changed: number
  removed: number
  unchanged: number
  derived: number
}

/** One entry that a document adds, changes, or (content null) takes out. */
export interface EntryChange {
  kind: string
  code: string
  content: Record<string, unknown> | null
  before: Record<string, unknown> | null
}

/** Why a checked document can still not be applied: it takes out what events stand on. */
export interface Refusal {
  pointer: string
  detail: string
}

const KINDS = [
  ['laboratories', 'laboratory'],
  ['plants', 'plant'],
  ['services', 'service'],
  ['protocols', 'protocol'],
  ['products', 'product'],
  ['kits', 'kit'],
] as const

const BATCH = 5_000

/**
 * Applies a checked document in one transaction: what is new or different becomes a new version that holds from now,
 * or from the document's `holdsFrom` if that is later; what is absent is taken out. The same document again changes
 * nothing. Derives every sample that a change can concern. Times in ms UTC.
 */
export async function applyRegister(
  pool: pg.Pool,
  document: RegisterDocument,
  now: number,
): Promise<{ change: RegisterChange; refusals: [] } | { change: null; refusals: Refusal[] }> {
  return asWriter(pool, async (client) => {
    const before = await entriesNow(client)
    const changes = changesTo(before, document)
    const refusals = await refusalsOf(client, changes)
    if (refusals.length > 0) return { change: null, refusals }
    await enter(client, changes, Math.max(now, holdsFromAt(document) ?? now), now)
    const removedKits = changes.filter(({ kind, content }) => kind === 'kit' && content === null)
    await client.query('delete from sample where code = any($1)', [removedKits.map(({ code }) => code)])
    const register = await currentRegister(pool, client)
    const codes = await samplesConcerned(client, changes)
    for (let start = 0; start < codes.length; start += BATCH)
      await derive(client, touching(codes.slice(start, start + BATCH)), register, now)
    return {
      change: {
        added: changes.filter((one) => one.before === null).length,
        changed: changes.filter((one) => one.before !== null && one.content !== null).length,
        removed: changes.filter((one) => one.content === null).length,
        unchanged:
          KINDS.reduce((sum, [list]) => sum + document[list].length, 0) -
          changes.filter((one) => one.content !== null).length,
        derived: codes.length,
      },
      refusals: [],
    }
  })
}

interface Entry {
  kind: string
  code: string
  content: Record<string, unknown>
}

/** The newest version of every entry that has not been taken out, by kind and code. */
async function entriesNow(client: Queryable): Promise<Map<string, Entry>> {
  const { rows } = await client.query<{
    kind: string
    code: string
    content: Record<string, unknown> | null
  }>('select distinct on (kind, code) kind, code, content from register_entry order by kind, code, seq desc')
  return new Map(
    rows.flatMap(({ kind, code, content }) =>
      content ? [[`${kind} ${code}`, { kind, code, content }]] : [],
    ),
  )
}

function changesTo(before: ReadonlyMap<string, Entry>, document: RegisterDocument): EntryChange[] {
  const changes: EntryChange[] = []
  const named = new Set<string>()
  for (const [list, kind] of KINDS)
    for (const content of document[list] as Entry['content'][]) {
      const code = content.code as string
      named.add(`${kind} ${code}`)
      const known = before.get(`${kind} ${code}`)?.content ?? null
      if (known === null || !isSame(known, content)) changes.push({ kind, code, content, before: known })
    }
  for (const [key, { kind, code, content }] of before)
    if (!named.has(key)) changes.push({ kind, code, content: null, before: content })
  return changes
}

/** Whether a content is what the ledger has of it; in JSON as there, so that neither order nor absence counts. */
function isSame(known: unknown, content: unknown): boolean {
  return isDeepStrictEqual(known, JSON.parse(JSON.stringify(content)))
}

async function refusalsOf(client: Queryable, changes: readonly EntryChange[]): Promise<Refusal[]> {
  const removed = (kinds: string[]) =>
    changes.filter(({ kind, content }) => content === null && kinds.includes(kind)).map(({ code }) => code)
  const kits = removed(['kit'])
  const places = removed(['plant', 'laboratory'])
  if (kits.length + places.length === 0) return []
  const { rows } = await client.query<{ code: string; list: string }>(
    `select code, 'kits' as list from unnest($1::text[]) as gone (code)
       where exists (select from event where sample = gone.code)
     union all
     select code, 'places' from unnest($2::text[]) as gone (code) where exists (select from event where place = gone.code)`,
    [kits, places],
  )
  return rows.map(({ code, list }) =>
    list === 'kits'
      ? {
          pointer: '/kits',
          detail: `Kit ${code} has events, so it stays in the register; report it cancelled if it is not to be used.`,
        }
      : {
          pointer: '',
          detail: `Events were reported at ${code}, and their times are read in its zone; keep it in the register.`,
        },
  )
}

async function enter(
  client: Queryable,
  changes: readonly EntryChange[],
  fromAt: number,
  now: number,
): Promise<void> {
  for (let start = 0; start < changes.length; start += BATCH) {
    const batch = changes.slice(start, start + BATCH)
    await client.query(
      `insert into register_entry (kind, code, content, holds_from_at, entered_at)
       select kind, code, content::jsonb, $4::timestamptz, $5::timestamptz
       from unnest($1::text[], $2::text[], $3::text[]) as new (kind, code, content)`,
      [
        batch.map(({ kind }) => kind),
        batch.map(({ code }) => code),
        batch.map(({ content }) => (content === null ? null : JSON.stringify(content))),
        instantText(fromAt),
        instantText(now),
      ],
    )
  }
}
