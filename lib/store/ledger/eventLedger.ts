import { createHash } from 'node:crypto'
import { type CustodyEvent, contentOf, type EventKind, keyOf, type Reporting } from '@/lib/custody/event'
import { canonical } from '@/lib/custody/kitCode'
import { instantText } from '../scope/instantText'
import type { Queryable } from '../scope/transaction'

/** An event as the ledger keeps it. */
export interface LedgerEvent extends CustodyEvent {
  seq: string
  /** Our own receipt, ms UTC. */
  receivedAt: number
  /** The person or key that reported it, as the audit names it. */
  reportedBy: string | null
}

interface EventRow extends Omit<LedgerEvent, 'reportedAt' | 'receivedAt' | 'reportedBy' | 'reporter'> {
  kind: EventKind
  reported_at: Date | null
  received_at: Date
  reported_by: string | null
  reporter_kinds: string[] | null
  reporter_plants: string[] | null
  reporter_laboratories: string[] | null
}

/** The columns of an event, for `select ... from event e`. */
export const EVENT_COLUMNS =
  'e.seq, e.source, e.id, e.sample, e.kind, e.at, e.zone, e.place, e.service, e.waybill, e.product, e.lot, e.corrects, e.facts, e.reported_at, e.received_at, e.reported_by, e.reporter_kinds, e.reporter_plants, e.reporter_laboratories'

/** An event from a row of `EVENT_COLUMNS`. */
export function eventOfRow(row: EventRow): LedgerEvent {
  const { reported_at, received_at, reported_by, reporter_kinds, reporter_plants, reporter_laboratories } =
    row
  return Object.assign(row, {
    reportedAt: reported_at?.getTime() ?? null,
    receivedAt: received_at.getTime(),
    reportedBy: reported_by,
    reporter: { kinds: reporter_kinds, plants: reporter_plants, laboratories: reporter_laboratories },
  })
}

/** The events that a query after `from event e` finds. */
export async function findEvents(db: Queryable, rest: string, values: unknown[]): Promise<LedgerEvent[]> {
  const { rows } = await db.query<EventRow>(`select ${EVENT_COLUMNS} from event e ${rest}`, values)
  return rows.map(eventOfRow)
}

/** SHA-256 of an event's content, in hexadecimal. */
export function digestOf(event: CustodyEvent): string {
  return createHash('sha256').update(contentOf(event)).digest('hex')
}

/**
 * Adds events of distinct keys to the ledger, and leaves out those whose key it has. Returns those that were added; the
 * same objects, given their place in the ledger.
 */
export async function appendEvents(
  db: Queryable,
  events: readonly { event: CustodyEvent; digest: string }[],
  reporting: Reporting,
  receivedAt: number,
): Promise<LedgerEvent[]> {
  const { by, kinds, plants, laboratories } = reporting
  const column = (value: (event: CustodyEvent) => string | null) => events.map(({ event }) => value(event))
  const { rows } = await db.query<{ seq: string; source: string; id: string }>(
    `insert into event (source, id, sample, kind, at, zone, place, service, waybill, waybill_key, product, lot,
       corrects, facts, reported_at, digest, received_at, reported_by, reporter_kinds, reporter_plants,
       reporter_laboratories)
     select source, id, sample, kind, at, zone, place, service, waybill, waybill_key, product, lot,
       corrects, facts::jsonb, reported_at::timestamptz, decode(digest, 'hex'), $17::timestamptz, $18, $19::text[], $20::text[], $21::text[]
     from unnest($1::text[], $2::text[], $3::text[], $4::text[], $5::text[], $6::text[], $7::text[], $8::text[],
       $9::text[], $10::text[], $11::text[], $12::text[], $13::text[], $14::text[], $15::text[], $16::text[])
       as new (source, id, sample, kind, at, zone, place, service, waybill, waybill_key, product, lot,
         corrects, facts, reported_at, digest)
     on conflict (source, id) do nothing
     returning seq, source, id`,
    [
      column((event) => event.source),
      column((event) => event.id),
      column((event) => event.sample),
      column((event) => event.kind),
      column((event) => event.at),
      column((event) => event.zone),
      column((event) => event.place),
      column((event) => event.service),
      column((event) => event.waybill),
      column((event) => (event.waybill === null ? null : canonical(event.waybill))),
      column((event) => event.product),
      column((event) => event.lot),
      column((event) => event.corrects),
      column((event) => (event.facts === null ? null : JSON.stringify(event.facts))),
      column((event) => (event.reportedAt === null ? null : instantText(event.reportedAt))),
      events.map(({ digest }) => digest),
      instantText(receivedAt),
      by,
      kinds,
      plants,
      laboratories,
    ],
  )
  // Rows come back in the order in which they were offered, so that one walk over both finds each its event.
  let place = 0
  return rows.map(({ seq, source, id }) => {
    while (events[place]?.event.id !== id || events[place]?.event.source !== source) place += 1
    return Object.assign((events[place] as { event: CustodyEvent }).event, {
      seq,
      receivedAt,
      reportedBy: by,
      reporter: { kinds, plants, laboratories },
    })
  })
}

/** The digests (hexadecimal) of those of these events that the ledger has, by key. */
export async function digestsOf(
  db: Queryable,
  events: readonly CustodyEvent[],
): Promise<Map<string, string>> {
  const { rows } = await db.query<{ source: string; id: string; digest: string }>(
    `select e.source, e.id, encode(e.digest, 'hex') as digest
     from unnest($1::text[], $2::text[]) as asked (source, id) join event e using (source, id)`,
    [events.map((event) => event.source), events.map((event) => event.id)],
  )
  return new Map(rows.map((row) => [keyOf(row), row.digest]))
}
