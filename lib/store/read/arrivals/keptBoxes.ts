import type pg from 'pg'
import { z } from 'zod'
import { eventKey, type ReadEvent } from '@/lib/custody/event'
import type { Scope } from '@/lib/policy/scope'
import { declareEventQuery } from '../../ledger/eventLedger'
import { readLedgerEvent } from '../../projection/placeLedgerEvents'
import { withReadTransaction } from '../../projection/readTransaction'
import { statement } from '../../scope/statement'
import { newestInTurn } from '../unplaced/newestInTurn'

/** A box that a laboratory received and that is matched to no sample yet. */
export interface KeptBox {
  key: string
  event: ReadEvent
  zone: string
}

export interface KeptBoxes {
  total: number
  /** The newest. */
  boxes: KeptBox[]
}

const MAX_BOXES = 50

/** A desk sees what it received itself, whoever's kit that may be; whoever sees everything sees all. */
const OF_DESK = `not u.is_claim and e.kind = 'received' and ($1::text[] is null or e.place = any($1)
    and 'laboratory' = any(e.reporter_sides) and e.place = any(e.reporter_laboratories))`

const NEWEST = declareEventQuery(newestInTurn(OF_DESK, MAX_BOXES))
const TOTAL = statement(
  z.object({ total: z.number() }),
  `select count(*)::int as total from event e join unplaced u on u.event_seq = e.seq where ${OF_DESK}`,
)

/** The boxes that desks in `scope` received and that wait to be matched, at `now` (ms UTC). */
export async function listKeptBoxes(pool: pg.Pool, scope: Scope, now: number): Promise<KeptBoxes> {
  const laboratories = scope === 'all' ? null : scope.laboratories
  // What is unplaced is of nobody's sample, and so no row of it is in a scope.
  return withReadTransaction(pool, 'all', now, async ({ client, register }) => {
    const events = await NEWEST(client, [laboratories])
    const { total } = await TOTAL.one(client, [laboratories])
    return {
      total,
      boxes: events.map((event) => ({
        key: eventKey(event),
        event: readLedgerEvent(event, register),
        zone: register.getZone(event.place) ?? event.zone ?? 'UTC',
      })),
    }
  })
}

const OWN = declareEventQuery(
  "where e.source = $1 and e.id = $2 and e.kind = 'received' and e.place is not null",
)
const WAITS = statement(
  z.object({ waits: z.boolean() }),
  'select exists (select from unplaced where event_seq = $1) as waits',
)

/** A box that `source` itself received, by the key of its receipt: where, and whether it still waits. Null for any other key. */
export async function findOwnBox(
  pool: pg.Pool,
  source: string,
  key: string,
  now: number,
): Promise<{ place: string; zone: string; waits: boolean } | null> {
  if (!key.startsWith(`${source}/`)) return null
  return withReadTransaction(pool, 'all', now, async ({ client, register }) => {
    const [event] = await OWN(client, [source, key.slice(source.length + 1)])
    if (!event?.place) return null
    const { waits } = await WAITS.one(client, [event.seq])
    return { place: event.place, zone: register.getZone(event.place) ?? 'UTC', waits }
  })
}
