import type pg from 'pg'
import { z } from 'zod'
import { MINUTE } from '@/lib/hold/zone'
import type { Journey } from '@/lib/lane/model/journey'
import { type LaneRecord, recordOf } from '@/lib/lane/model/record'
import { NEWEST_ENTRY, registerAt } from '../ledger/currentRegister'
import { placesOf } from '../ledger/placesOf'
import { inScope } from '../scope/scope'
import { statement } from '../scope/statement'
import { journeyRow, readJourney } from './storedJourney'

/** How far the ledgers had grown: the newest entry of the register that is no kit, and the newest event. */
export const ledgerPosition = z.object({ register: z.string(), event: z.string() })
export type LedgerPosition = z.infer<typeof ledgerPosition>

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
export const LEDGER_POSITION = `(${NEWEST_ENTRY}) as register,
  (select coalesce(max(seq), 0)::text from event) as event`

const POSITION = statement(ledgerPosition, `select ${LEDGER_POSITION}`)

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
    const position = await POSITION.one(client)
    if (keeping.newest && !isOld(keeping.newest, position, now)) return keeping.newest.record
    const register = await registerAt(pool, client, position.register)
    const journeys = await readJourneys(client)
    const record = recordOf(journeys, placesOf(register), now)
    keeping.newest = { record, position, journeys: journeys.length }
    return record
  })
}

const CHUNK = 2_000

/**
 * Declares a query of the samples that have a journey and fulfil `condition` (with values from $2 on), by code, as far as
 * the transaction's scope sees them. They come in chunks, and other work gets its turn between two.
 */
export function journeysBy(condition: string) {
  const chunk = statement(
    journeyRow,
    `select code, plant, laboratory, issued_at, journey from sample
     where code > $1 and journey is not null and ${condition} order by code limit ${CHUNK}`,
  )
  return async function* (client: pg.ClientBase, values: readonly unknown[] = []) {
    for (let after = ''; ; ) {
      const rows = await chunk.all(client, [after, ...values])
      yield rows
      const last = rows[CHUNK - 1]
      if (!last) return
      after = last.code
      await new Promise((resolve) => setImmediate(resolve))
    }
  }
}

const REPORTED = journeysBy('stage is not null')

/** The journey of every sample of which anything was reported, by code. In a scope that sees everything. */
async function readJourneys(client: pg.ClientBase): Promise<Journey[]> {
  const journeys: Journey[] = []
  for await (const rows of REPORTED(client)) for (const row of rows) journeys.push(readJourney(row))
  return journeys
}
