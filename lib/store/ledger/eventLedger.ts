import { createHash } from 'node:crypto'
import { z } from 'zod'
import {
  type CustodyEvent,
  EVENT_KINDS,
  eventKey,
  type NamedReporter,
  serializeContent,
} from '@/lib/custody/event'
import { SIDES } from '@/lib/custody/eventKinds'
import { toCanonical } from '@/lib/custody/kitCode'
import { toSqlInstant } from '../scope/sqlInstant'
import { statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'

export interface LedgerEvent extends CustodyEvent {
  seq: string
  /** When it was accepted, ms UTC. */
  acceptedAt: number
  /** The person or key that reported it, as in the audit log. */
  reportedBy: string | null
}

const storedEvent = z.object({
  seq: z.string(),
  source: z.string(),
  id: z.string(),
  sample: z.string().nullable(),
  kind: z.enum(EVENT_KINDS),
  at: z.string(),
  zone: z.string().nullable(),
  place: z.string().nullable(),
  service: z.string().nullable(),
  waybill: z.string().nullable(),
  product: z.string().nullable(),
  lot: z.string().nullable(),
  corrects: z.string().nullable(),
  facts: z.record(z.string(), z.unknown()).nullable(),
  reported_at: z.date().nullable(),
  received_at: z.date(),
  reported_by: z.string().nullable(),
  reporter_sides: z.array(z.enum(SIDES)).nullable(),
  reporter_kinds: z.array(z.string()).nullable(),
  reporter_plants: z.array(z.string()).nullable(),
  reporter_laboratories: z.array(z.string()).nullable(),
})

const COLUMNS = Object.keys(storedEvent.shape)
  .map((column) => `e.${column}`)
  .join(', ')

/** Changes the row itself: a rebuild reads every event. */
function toLedgerEvent(row: z.infer<typeof storedEvent>): LedgerEvent {
  const { reported_at, received_at, reported_by } = row
  return Object.assign(row, {
    reportedAt: reported_at?.getTime() ?? null,
    acceptedAt: received_at.getTime(),
    reportedBy: reported_by,
    reporter: {
      sides: row.reporter_sides,
      kinds: row.reporter_kinds,
      plants: row.reporter_plants,
      laboratories: row.reporter_laboratories,
    },
  })
}

/** Declares a query of events. `rest` follows `from event e`; values are bound to $1, $2, ... in order. */
export function declareEventQuery(
  rest: string,
): (db: Queryable, values?: readonly unknown[]) => Promise<LedgerEvent[]> {
  const found = statement(storedEvent, `select ${COLUMNS} from event e ${rest}`)
  return async (db, values) => (await found.all(db, values)).map(toLedgerEvent)
}

const BY_KEYS = declareEventQuery(
  'join unnest($1::text[], $2::text[]) as asked (source, id) using (source, id)',
)

/** The events of these keys (`source/id`) that the ledger has. */
export function readEventsByKey(db: Queryable, keys: readonly string[]): Promise<LedgerEvent[]> {
  return BY_KEYS(db, [
    keys.map((key) => key.slice(0, Math.max(0, key.indexOf('/')))),
    keys.map((key) => key.slice(key.indexOf('/') + 1)),
  ])
}

/** SHA-256 in hexadecimal. */
export function hashContent(event: CustodyEvent): string {
  return createHash('sha256').update(serializeContent(event)).digest('hex')
}

/**
 * The sequence number of the newest event, noted apart from the events, so that a lock on their table does not stop those
 * who only ask whether it has grown. The sequence itself counts events that are not committed yet. 0 until the first
 * event after an upgrade.
 */
export const NEWEST_EVENT_SEQ =
  "select coalesce((select value #>> '{}' from app_metadata where name = 'newest event'), '0')"

const APPEND = statement(
  storedEvent.pick({ seq: true, source: true, id: true }),
  `with added as (insert into event (source, id, sample, kind, at, zone, place, service, waybill, waybill_key, product, lot,
     corrects, facts, reported_at, digest, received_at, reported_by, reporter_kinds, reporter_plants,
     reporter_laboratories, reporter_sides)
   select source, id, sample, kind, at, zone, place, service, waybill, waybill_key, product, lot,
     corrects, facts::jsonb, reported_at::timestamptz, decode(digest, 'hex'), $17::timestamptz, $18, $19::text[], $20::text[], $21::text[], $22::text[]
   from unnest($1::text[], $2::text[], $3::text[], $4::text[], $5::text[], $6::text[], $7::text[], $8::text[],
     $9::text[], $10::text[], $11::text[], $12::text[], $13::text[], $14::text[], $15::text[], $16::text[])
     as new (source, id, sample, kind, at, zone, place, service, waybill, waybill_key, product, lot,
       corrects, facts, reported_at, digest)
   on conflict (source, id) do nothing
   returning seq, source, id),
   noted as (insert into app_metadata select 'newest event', to_jsonb(max(seq)) from added having count(*) > 0
     on conflict (name) do update set value = excluded.value)
   select seq, source, id from added`,
)

/**
 * Inserts events of distinct keys and skips duplicates: keys that the ledger has. Returns the inserted ones: the same objects,
 * with their place in the ledger.
 */
export async function appendEvents(
  db: Queryable,
  events: readonly { event: CustodyEvent; digest: string }[],
  reporting: NamedReporter,
  acceptedAt: number,
): Promise<LedgerEvent[]> {
  const { by, ...reporter } = reporting
  const column = (value: (event: CustodyEvent) => string | null) => events.map(({ event }) => value(event))
  const rows = await APPEND.all(db, [
    column((event) => event.source),
    column((event) => event.id),
    column((event) => event.sample),
    column((event) => event.kind),
    column((event) => event.at),
    column((event) => event.zone),
    column((event) => event.place),
    column((event) => event.service),
    column((event) => event.waybill),
    column((event) => (event.waybill === null ? null : toCanonical(event.waybill))),
    column((event) => event.product),
    column((event) => event.lot),
    column((event) => event.corrects),
    column((event) => (event.facts === null ? null : JSON.stringify(event.facts))),
    column((event) => (event.reportedAt === null ? null : toSqlInstant(event.reportedAt))),
    events.map(({ digest }) => digest),
    toSqlInstant(acceptedAt),
    by,
    reporter.kinds,
    reporter.plants,
    reporter.laboratories,
    reporter.sides,
  ])
  // Rows come back in the order in which they were sent, so one pass over both matches them.
  let place = 0
  return rows.map(({ seq, source, id }) => {
    while (events[place]?.event.id !== id || events[place]?.event.source !== source) place += 1
    return Object.assign((events[place] as { event: CustodyEvent }).event, {
      seq,
      acceptedAt,
      reportedBy: by,
      reporter,
    })
  })
}

const READ_HASHES = statement(
  storedEvent.pick({ source: true, id: true }).extend({ digest: z.string() }),
  `select e.source, e.id, encode(e.digest, 'hex') as digest
   from unnest($1::text[], $2::text[]) as asked (source, id) join event e using (source, id)`,
)

/** The content hashes of those of these events that the ledger has, by key. */
export async function readContentHashes(
  db: Queryable,
  events: readonly CustodyEvent[],
): Promise<Map<string, string>> {
  const rows = await READ_HASHES.all(db, [
    events.map((event) => event.source),
    events.map((event) => event.id),
  ])
  return new Map(rows.map((row) => [eventKey(row), row.digest]))
}
