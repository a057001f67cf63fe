import type pg from 'pg'
import { keyOf, type ReadEvent } from '@/lib/custody/event'
import type { Register } from '@/lib/custody/register'
import { currentRegister } from './currentRegister'
import { derive } from './derive'
import { appendEvents, digestOf, digestsOf, type LedgerEvent, type Queryable } from './eventLedger'
import { touchedBy } from './eventsBearing'
import { asWriter } from './transaction'

/** What became of an event that was read. A conflict: its key is taken by an event with other content. */
export type Acceptance = 'accepted' | 'already known' | 'unplaced' | 'conflict'

/**
 * Accepts a body of events: keeps those that are new, derives what they touch, and says for each what became of it.
 * When this returns, what was accepted is on disk. `read` makes the items out of the body with the register as it
 * stands; it may be called again if the register changes meanwhile. Times in ms UTC.
 */
export async function acceptEvents<Item extends { event: ReadEvent | null }>(
  pool: pg.Pool,
  read: (register: Register) => Item[],
  now: number,
): Promise<{ item: Item; acceptance: Acceptance | null }[]> {
  const before = await currentRegister(pool)
  const early = read(before)
  return asWriter(pool, async (client) => {
    const register = await currentRegister(pool, client)
    const items = register === before ? early : read(register)
    const events = items.flatMap(({ event }) => event ?? [])
    const { added, acceptances } = await append(client, events, now)
    if (added.length > 0) await derive(client, await touchedBy(client, added), register, now)
    const unplaced = added.length > 0 ? await unplacedAmong(client, added) : new Set<string>()
    let position = 0
    return items.map((item) => {
      if (!item.event) return { item, acceptance: null }
      const acceptance = acceptances[position++] as Acceptance
      return { item, acceptance: acceptance === 'accepted' && unplaced.has(keyOf(item.event)) ? 'unplaced' : acceptance }
    })
  })
}

/** Adds what is new, and says of each event in turn whether it is, was known, or conflicts. */
async function append(client: Queryable, events: readonly ReadEvent[], now: number) {
  const first = new Map<string, { event: ReadEvent; digest: string }>()
  const digests = events.map((event) => {
    const digest = digestOf(event)
    if (!first.has(keyOf(event))) first.set(keyOf(event), { event, digest })
    return digest
  })
  const added = await appendEvents(client, [...first.values()], now)
  const isNew = new Set(added.map(keyOf))
  const before = [...first.values()].map(({ event }) => event).filter((event) => !isNew.has(keyOf(event)))
  const kept = before.length > 0 ? await digestsOf(client, before) : new Map<string, string>()
  const told = new Set<string>()
  const acceptances = events.map((event, index): Acceptance => {
    const key = keyOf(event)
    const standing = kept.get(key) ?? first.get(key)?.digest
    if (digests[index] !== standing) return 'conflict'
    if (!isNew.has(key) || told.has(key)) return 'already known'
    told.add(key)
    return 'accepted'
  })
  return { added, acceptances }
}

/** The keys of those added events that fit no known sample yet. */
async function unplacedAmong(client: Queryable, added: readonly LedgerEvent[]): Promise<Set<string>> {
  const { rows } = await client.query<{ event_seq: string }>(
    'select event_seq from unplaced where event_seq = any($1::bigint[])',
    [added.map(({ seq }) => seq)],
  )
  const seqs = new Set(rows.map(({ event_seq }) => event_seq))
  return new Set(added.filter(({ seq }) => seqs.has(seq)).map(keyOf))
}
