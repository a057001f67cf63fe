import type pg from 'pg'
import { z } from 'zod'
import { eventKey, type NamedReporter, type ReadEvent } from '@/lib/custody/event'
import type { Register } from '@/lib/custody/register'
import { getRegister } from '../ledger/currentRegister'
import { appendEvents, hashContent, type LedgerEvent, readContentHashes } from '../ledger/eventLedger'
import { type Actor, type AuditLine, appendToAuditLog } from '../scope/audit'
import { withScope } from '../scope/scope'
import { statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'
import { withWriteTransaction } from '../scope/writer'
import { derive } from './derive'
import { pipelineBatches } from './pipelineBatches'
import { findTouched } from './relatedEvents'

/** What became of an event that was read. A conflict: its key is taken by an event with other content. */
export type Acceptance = 'accepted' | 'already known' | 'unplaced' | 'conflict'

/** Who did it, and what the record says of what was accepted and not known before. */
export interface AuditNote {
  actor: Actor
  lines: (accepted: readonly ReadEvent[]) => AuditLine[]
}

/**
 * Accepts a body of events: keeps those that are new, derives what they touch, and says for each what became of it.
 * When this returns, what was accepted is on disk. `read` makes the items out of the body with the register as it
 * stands; it may be called again if the register changes meanwhile. An act is recorded if anything was accepted. Times
 * in ms UTC.
 */
export async function acceptEvents<Item extends { event: ReadEvent | null }>(
  pool: pg.Pool,
  read: (register: Register) => Item[],
  reporting: NamedReporter,
  now: number,
  act?: AuditNote,
): Promise<{ item: Item; acceptance: Acceptance | null }[]> {
  const before = await withScope(pool, 'all', (client) => getRegister(pool, client))
  const early = read(before)
  return withWriteTransaction(pool, async (client) => {
    const register = await getRegister(pool, client)
    const items = register === before ? early : read(register)
    const events = items.flatMap(({ event }) => event ?? [])
    const { added, acceptances } = await appendNewEvents(client, events, reporting, now)
    if (added.length > 0) await derive(client, await findTouched(client, added), register, now)
    if (act && added.length > 0)
      await appendToAuditLog(client, act.actor, act.lines(added as (LedgerEvent & ReadEvent)[]), now)
    const unplaced = added.length > 0 ? await findUnplaced(client, added) : new Set()
    let position = 0
    return items.map((item) => {
      if (!item.event) return { item, acceptance: null }
      const acceptance = acceptances[position++] as Acceptance
      return {
        item,
        acceptance: acceptance === 'accepted' && unplaced.has(item.event) ? 'unplaced' : acceptance,
      }
    })
  })
}

const BATCH = 5_000

/** Adds what is new, and says of each event in turn whether it is, was known, or conflicts. */
async function appendNewEvents(
  client: Queryable,
  events: readonly ReadEvent[],
  reporting: NamedReporter,
  now: number,
) {
  const digestByKey = new Map<string, string>()
  const digests: string[] = []
  function* firsts() {
    for (let start = 0; start < events.length; start += BATCH) {
      const first: { event: ReadEvent; digest: string }[] = []
      for (const event of events.slice(start, start + BATCH)) {
        const digest = hashContent(event)
        digests.push(digest)
        const key = eventKey(event)
        if (digestByKey.has(key)) continue
        digestByKey.set(key, digest)
        first.push({ event, digest })
      }
      yield first
    }
  }
  const added = (
    await pipelineBatches(firsts(), (first) => appendEvents(client, first, reporting, now))
  ).flat()
  const fresh = new Set<ReadEvent>(added as (LedgerEvent & ReadEvent)[])
  const known = events.filter((event) => !fresh.has(event))
  if (known.length > 0)
    for (const [key, digest] of await readContentHashes(client, known)) digestByKey.set(key, digest)
  const acceptances = events.map((event, index): Acceptance => {
    if (fresh.has(event)) return 'accepted'
    return digests[index] === digestByKey.get(eventKey(event)) ? 'already known' : 'conflict'
  })
  return { added, acceptances }
}

const UNPLACED = statement(
  z.object({ event_seq: z.string() }),
  'select event_seq from unplaced where event_seq >= $1',
)

/** Those of the added events that fit no known sample yet. */
async function findUnplaced(client: Queryable, added: readonly LedgerEvent[]): Promise<Set<unknown>> {
  const rows = await UNPLACED.all(client, [added[0]?.seq])
  const seqs = new Set(rows.map(({ event_seq }) => event_seq))
  return new Set(added.filter(({ seq }) => seqs.has(seq)))
}
