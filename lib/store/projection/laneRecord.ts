import type pg from 'pg'
import { MINUTE } from '@/lib/hold/zone'
import type { Journey } from '@/lib/lane/model/journey'
import { type LaneRecord, recordOf } from '@/lib/lane/model/record'
import { registerAt } from '../ledger/currentRegister'
import { placesOf } from '../ledger/placesOf'
import { inScope } from '../scope/scope'
import { journeyRows } from './journeyRows'
import { readJourney } from './storedJourney'

/** How far the ledgers had grown. */
export interface LedgerPosition {
  /** The newest entry of the register that is no kit, and the newest event. */
  register: string
  event: string
}

interface KeptRecord {
  record: LaneRecord
  position: LedgerPosition
  journeys: number
}

interface Keeping {
  newest: KeptRecord | null
  /** What was asked for last; the next who asks waits for it, so that no two are made at once. */
  last: Promise<unknown>
}

const keepings = new WeakMap<pg.Pool, Keeping>()

/** A record of fewer journeys is made anew whenever the ledger has grown; a larger one no more often than this, ms. */
const FEW_JOURNEYS = 500
const GROWN_AFTER = 5 * MINUTE
/** Without growth it is made anew after this, ms: what is still under way has been so for longer. */
const STALE_AFTER = 15 * MINUTE

/**
 * The record of all lanes as it is known at `now` (ms UTC), over every maker: how much of it may be told to whom is for
 * whoever asks to judge. It is kept for each pool, and made anew when the register has changed, when events have come and
 * it is five minutes old, and after a quarter of an hour.
 */
export function laneRecord(pool: pg.Pool, now: number): Promise<LaneRecord> {
  const keeping = keepingOf(pool)
  const asked = keeping.last.then(
    () => recordAt(pool, keeping, now),
    () => recordAt(pool, keeping, now),
  )
  keeping.last = asked
  return asked
}

/** The record that is kept, however old; null where none is yet. */
export function keptRecord(pool: pg.Pool): LaneRecord | null {
  return keepingOf(pool).newest?.record ?? null
}

/** Whether `laneRecord` would make a record anew though there is one. */
export function isRecordOld(pool: pg.Pool, position: LedgerPosition, now: number): boolean {
  const { newest } = keepingOf(pool)
  return newest !== null && isOld(newest, position, now)
}

/** How far the ledgers have grown, as this transaction sees them. */
export const LEDGER_POSITION = `(select coalesce(max(seq), 0)::text from register_entry where kind <> 'kit') as register,
  (select coalesce(max(seq), 0)::text from event) as event`

function keepingOf(pool: pg.Pool): Keeping {
  const known = keepings.get(pool) ?? { newest: null, last: Promise.resolve() }
  keepings.set(pool, known)
  return known
}

function isOld({ record, position, journeys }: KeptRecord, grown: LedgerPosition, now: number): boolean {
  const age = Math.abs(now - record.knownAt)
  if (position.register !== grown.register || age >= STALE_AFTER) return true
  return position.event !== grown.event && (journeys < FEW_JOURNEYS || age >= GROWN_AFTER)
}

async function recordAt(pool: pg.Pool, keeping: Keeping, now: number): Promise<LaneRecord> {
  return inScope(pool, 'all', async (client) => {
    const { rows } = await client.query<LedgerPosition>(`select ${LEDGER_POSITION}`)
    const position = rows[0] as LedgerPosition
    if (keeping.newest && !isOld(keeping.newest, position, now)) return keeping.newest.record
    const register = await registerAt(pool, client, position.register)
    const journeys = await readJourneys(client)
    const record = recordOf(journeys, placesOf(register), now)
    keeping.newest = { record, position, journeys: journeys.length }
    return record
  })
}

/** The journey of every sample of which anything was reported, by code. In a scope that sees everything. */
export async function readJourneys(client: pg.ClientBase): Promise<Journey[]> {
  const journeys: Journey[] = []
  for await (const rows of journeyRows(client, 'stage is not null'))
    for (const row of rows) journeys.push(readJourney(row))
  return journeys
}
