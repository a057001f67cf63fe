import type pg from 'pg'
import { z } from 'zod'
import { eventKey, type NamedReporter, type ReadEvent } from '@/lib/custody/event'
import type { Register } from '@/lib/custody/register'
import { countIntake } from '@/lib/telemetry/metrics'
import { getRegister } from '../ledger/currentRegister'
import { appendEvents, hashContent, type LedgerEvent, readContentHashes } from '../ledger/eventLedger'
import { type Actor, type AuditLine, appendToAuditLog } from '../scope/audit'
import { withScope } from '../scope/scope'
import { statement } from '../scope/statement'
import { TimeSlices } from '../scope/timeSlices'
import { type Queryable, setSavepoint } from '../scope/transaction'
import { withWriteTransaction } from '../scope/writer'
import { derive } from './derive'
import { findNotAllowed, type NotAllowed } from './notAllowed'
import { pipelineBatches } from './pipelineBatches'
import { findTouched } from './relatedEvents'
import { findTooMany } from './reportLimit'

/**
 * What became of an event. A conflict: its key belongs to an event with other content. Too many: its reporter has reported
 * as much of its sample or consignment as one may, or corrected the same event as often. Not allowed: its reporter may see the
 * sample, and not report this of it.
 */
export type Acceptance = 'accepted' | 'already known' | 'unplaced' | Refused
type Refused = 'conflict' | 'too many' | NotAllowed

/** Who reported the events, and the entries of the audit log for those that are new. */
export interface AuditNote {
  actor: Actor
  lines: (accepted: readonly ReadEvent[]) => AuditLine[]
}

export interface AcceptOptions {
  /** Used only if an event is new. */
  audit?: AuditNote
  /** Whether nothing new is taken if some of it is refused. */
  isAllOrNone?: boolean
  slices?: TimeSlices
}

/**
 * Appends the new events of a request to the ledger, recomputes the samples they touch, and returns what became of each.
 * Idempotent: a duplicate changes nothing, so a request can be retried. The result is on disk when this returns. `read`
 * makes the items (null: a pause) with the current register and is called again if the register changes meanwhile. Times in
 * ms UTC.
 */
export async function acceptEvents<Item extends { event: ReadEvent | null }>(
  pool: pg.Pool,
  read: (register: Register) => Iterable<Item | null>,
  reporting: NamedReporter,
  now: number,
  { audit, isAllOrNone = false, slices = new TimeSlices() }: AcceptOptions = {},
): Promise<{ item: Item; acceptance: Acceptance | null }[]> {
  const before = await withScope(pool, 'all', (client) => getRegister(pool, client))
  const early = await slices.collect(read(before))
  if (early.every(({ event }) => event === null)) {
    countIntake(early.map(() => 'refused'))
    return early.map((item) => ({ item, acceptance: null }))
  }
  const results = await withWriteTransaction(pool, async (client) => {
    const register = await getRegister(pool, client)
    const items = register === before ? early : await slices.collect(read(register))
    const events = items.flatMap(({ event }) => event ?? [])
    const append = (some: ReadEvent[]) => appendNewEvents(client, some, reporting, now, slices)
    const { added, acceptances } = await appendWithinLimits(client, events, append, isAllOrNone)
    if (added.length > 0)
      await derive(client, await findTouched(client, added, register, now), register, now, slices)
    if (audit && added.length > 0)
      await appendToAuditLog(client, audit.actor, audit.lines(added as (LedgerEvent & ReadEvent)[]), now)
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
  countIntake(results.map(({ acceptance }) => (isTaken(acceptance) ? acceptance : 'refused')))
  return results
}

const TAKEN = ['accepted', 'already known', 'unplaced', 'conflict'] as const

function isTaken(acceptance: Acceptance | null): acceptance is (typeof TAKEN)[number] {
  return (TAKEN as readonly (Acceptance | null)[]).includes(acceptance)
}

interface Appended {
  added: LedgerEvent[]
  /** Of every event, in its order. */
  acceptances: Acceptance[]
}

/**
 * Appends the new events but those that are too many or not their reporter's to report. The ledger shows which are new, so all
 * are appended first; nothing is ever deleted from it, so then that is undone.
 */
async function appendWithinLimits(
  client: Queryable,
  events: ReadEvent[],
  append: (some: ReadEvent[]) => Promise<Appended>,
  isAllOrNone: boolean,
): Promise<Appended> {
  const undo = await setSavepoint(client)
  const all = await append(events)
  const refusals = await findRefusals(client, all.added)
  if (refusals.size === 0) return all
  await undo()
  const [first] = refusals.values()
  if (isAllOrNone)
    for (const event of all.added) refusals.set(event, refusals.get(event) ?? (first as Refused))
  const refused = new Map([...refusals].map(([event, why]) => [eventKey(event), why]))
  // A second one of the same key is no duplicate of an event that was not taken.
  const rest = await append(events.filter((event) => !refused.has(eventKey(event))))
  let position = 0
  return {
    added: rest.added,
    acceptances: events.map(
      (event) => refused.get(eventKey(event)) ?? (rest.acceptances[position++] as Acceptance),
    ),
  }
}

async function findRefusals(
  client: Queryable,
  added: readonly LedgerEvent[],
): Promise<Map<LedgerEvent, Refused>> {
  const refusals = new Map<LedgerEvent, Refused>(await findNotAllowed(client, added))
  for (const event of await findTooMany(client, added)) refusals.set(event, 'too many')
  return refusals
}

/** Events sent to the database at once: more take it longer than a slice to be put into a statement. */
const BATCH = 1_000

/** Appends the new events. */
async function appendNewEvents(
  client: Queryable,
  events: readonly ReadEvent[],
  reporting: NamedReporter,
  now: number,
  slices: TimeSlices,
): Promise<Appended> {
  const digestByKey = new Map<string, string>()
  const digests: string[] = []
  function* firsts() {
    let first: { event: ReadEvent; digest: string }[] = []
    for (const event of events) {
      const digest = hashContent(event)
      digests.push(digest)
      const key = eventKey(event)
      if (digestByKey.has(key)) continue
      digestByKey.set(key, digest)
      const isFull = first.push({ event, digest }) === BATCH
      yield isFull ? first : null
      if (isFull) first = []
    }
    if (first.length > 0) yield first
  }
  const send = (first: { event: ReadEvent; digest: string }[]) => appendEvents(client, first, reporting, now)
  const added = (await pipelineBatches(firsts(), send, slices)).flat()
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
  'select event_seq from unplaced where event_seq >= $1 and not is_claim',
)

/** The added events that match no known sample yet. */
async function findUnplaced(client: Queryable, added: readonly LedgerEvent[]): Promise<Set<unknown>> {
  const rows = await UNPLACED.all(client, [added[0]?.seq])
  const seqs = new Set(rows.map(({ event_seq }) => event_seq))
  return new Set(added.filter(({ seq }) => seqs.has(seq)))
}
