import type pg from 'pg'
import { z } from 'zod'
import { MINUTE } from '@/lib/hold/zone'
import type { Journey } from '@/lib/lane/model/journey'
import { buildTransitModel, type TransitModel } from '@/lib/lane/model/transitModel'
import { getRegisterAt, NEWEST_ENTRY_SEQ } from '../ledger/currentRegister'
import { getLanePlaces } from '../ledger/lanePlaces'
import { withScope } from '../scope/scope'
import { statement } from '../scope/statement'
import { journeyRow, readJourney } from './storedJourney'

/** How far the ledgers had grown: the newest entry of the register that is no kit, and the newest event. */
export const ledgerPosition = z.object({ register: z.string(), event: z.string() })
export type LedgerPosition = z.infer<typeof ledgerPosition>

interface CachedModel {
  model: TransitModel
  position: LedgerPosition
  journeys: number
}

interface ModelCache {
  newest: CachedModel | null
  /** What was asked for last; the next who asks waits for it, so that no two are made at once. */
  pending: Promise<unknown>
}

const caches = new WeakMap<pg.Pool, ModelCache>()

/** A record of fewer journeys is made anew whenever the ledger has grown; a larger one no more often than this, ms. */
const SMALL_JOURNEY_COUNT = 500
const MIN_AGE_MS = 5 * MINUTE
/** Without growth it is made anew after this, ms: what is still under way has been so for longer. */
const MAX_AGE_MS = 15 * MINUTE

/**
 * The record of all lanes as it is known at `now` (ms UTC), over every maker: how much of it may be told to whom is for
 * whoever asks to judge. It is kept for each pool, and made anew when the register has changed, when events have come and
 * it is five minutes old, and after a quarter of an hour.
 */
export function getTransitModel(pool: pg.Pool, now: number): Promise<TransitModel> {
  const keeping = getCache(pool)
  const asked = keeping.pending.then(
    () => refreshModel(pool, keeping, now),
    () => refreshModel(pool, keeping, now),
  )
  keeping.pending = asked
  return asked
}

/** The record that is kept, however old; null where none is yet. */
export function getCachedTransitModel(pool: pg.Pool): TransitModel | null {
  return getCache(pool).newest?.model ?? null
}

/** Whether `getTransitModel` would make a record anew though there is one. */
export function isTransitModelStale(pool: pg.Pool, position: LedgerPosition, now: number): boolean {
  const { newest } = getCache(pool)
  return newest !== null && isStale(newest, position, now)
}

/** How far the ledgers have grown, as this transaction sees them. */
export const LEDGER_POSITION = `(${NEWEST_ENTRY_SEQ}) as register,
  (select coalesce(max(seq), 0)::text from event) as event`

const POSITION = statement(ledgerPosition, `select ${LEDGER_POSITION}`)

function getCache(pool: pg.Pool): ModelCache {
  const known = caches.get(pool) ?? { newest: null, pending: Promise.resolve() }
  caches.set(pool, known)
  return known
}

function isStale(
  { model: record, position, journeys }: CachedModel,
  grown: LedgerPosition,
  now: number,
): boolean {
  const age = Math.abs(now - record.knownAt)
  if (position.register !== grown.register || age >= MAX_AGE_MS) return true
  return position.event !== grown.event && (journeys < SMALL_JOURNEY_COUNT || age >= MIN_AGE_MS)
}

async function refreshModel(pool: pg.Pool, keeping: ModelCache, now: number): Promise<TransitModel> {
  return withScope(pool, 'all', async (client) => {
    const position = await POSITION.one(client)
    if (keeping.newest && !isStale(keeping.newest, position, now)) return keeping.newest.model
    const register = await getRegisterAt(pool, client, position.register)
    const journeys = await readJourneys(client)
    const record = buildTransitModel(journeys, getLanePlaces(register), now)
    keeping.newest = { model: record, position, journeys: journeys.length }
    return record
  })
}

const CHUNK = 2_000

/**
 * Declares a query of the samples that have a journey and fulfil `condition` (with values from $2 on), by code, as far as
 * the transaction's scope sees them. They come in chunks, and other work gets its turn between two.
 */
export function declareJourneys(condition: string) {
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

const REPORTED = declareJourneys('stage is not null')

/** The journey of every sample of which anything was reported, by code. In a scope that sees everything. */
async function readJourneys(client: pg.ClientBase): Promise<Journey[]> {
  const journeys: Journey[] = []
  for await (const rows of REPORTED(client)) for (const row of rows) journeys.push(readJourney(row))
  return journeys
}
