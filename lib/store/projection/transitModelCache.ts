import type pg from 'pg'
import { z } from 'zod'
import { MINUTE } from '@/lib/hold/zone'
import type { Journey } from '@/lib/lane/model/journey'
import { buildTransitModel, type TransitModel } from '@/lib/lane/model/transitModel'
import { getRegisterAt, NEWEST_ENTRY_SEQ } from '../ledger/currentRegister'
import { NEWEST_EVENT_SEQ } from '../ledger/eventLedger'
import { getLanePlaces } from '../ledger/lanePlaces'
import { withScope } from '../scope/scope'
import { statement } from '../scope/statement'
import { journeyRow, readJourney } from './storedJourney'

/** The newest register entry other than a kit, and the newest event. */
export const ledgerPosition = z.object({ register: z.string(), event: z.string() })
export type LedgerPosition = z.infer<typeof ledgerPosition>

interface CachedModel {
  model: TransitModel
  position: LedgerPosition
  journeys: number
}

interface ModelCache {
  newest: CachedModel | null
  /** The last request. The next one waits for it, so that only one model is built at a time. */
  pending: Promise<unknown>
}

const caches = new WeakMap<pg.Pool, ModelCache>()

/** A model of fewer journeys is rebuilt whenever the ledger has grown; a larger one is kept at least this long, ms. */
const SMALL_JOURNEY_COUNT = 500
const MIN_AGE_MS = 5 * MINUTE
/** Without new events it is rebuilt after this, ms, since shipments under way have been so for longer. */
const MAX_AGE_MS = 15 * MINUTE

/**
 * The transit model at `now` (ms UTC), over every maker: the caller decides how much of it a reader may see. It is cached for
 * each pool, and rebuilt when the register has changed, when it is five minutes old and there are new events, and after a
 * quarter of an hour.
 */
export function getTransitModel(pool: pg.Pool, now: number): Promise<TransitModel> {
  const cache = getCache(pool)
  const model = cache.pending.then(
    () => refreshModel(pool, cache, now),
    () => refreshModel(pool, cache, now),
  )
  cache.pending = model
  return model
}

/** The cached model, however old. */
export function getCachedTransitModel(pool: pg.Pool): TransitModel | null {
  return getCache(pool).newest?.model ?? null
}

/** Whether `getTransitModel` would rebuild a model that is cached. */
export function isTransitModelStale(pool: pg.Pool, position: LedgerPosition, now: number): boolean {
  const { newest } = getCache(pool)
  return newest !== null && isStale(newest, position, now)
}

/** The columns of `ledgerPosition`, as this transaction sees the ledgers. They read no event. */
export const LEDGER_POSITION = `(${NEWEST_ENTRY_SEQ}) as register,
  (${NEWEST_EVENT_SEQ}) as event`

const POSITION = statement(ledgerPosition, `select ${LEDGER_POSITION}`)

function getCache(pool: pg.Pool): ModelCache {
  const cache = caches.get(pool) ?? { newest: null, pending: Promise.resolve() }
  caches.set(pool, cache)
  return cache
}

function isStale({ model, position, journeys }: CachedModel, grown: LedgerPosition, now: number): boolean {
  const age = Math.abs(now - model.knownAt)
  if (position.register !== grown.register || age >= MAX_AGE_MS) return true
  return position.event !== grown.event && (journeys < SMALL_JOURNEY_COUNT || age >= MIN_AGE_MS)
}

async function refreshModel(pool: pg.Pool, cache: ModelCache, now: number): Promise<TransitModel> {
  return withScope(pool, 'all', async (client) => {
    const position = await POSITION.one(client)
    if (cache.newest && !isStale(cache.newest, position, now)) return cache.newest.model
    const register = await getRegisterAt(pool, client, position.register)
    const journeys = await readJourneys(client)
    const model = buildTransitModel(journeys, getLanePlaces(register), now)
    cache.newest = { model, position, journeys: journeys.length }
    return model
  })
}

const CHUNK = 2_000

/**
 * Declares a query for the samples with a journey that fulfil `condition` (with values from $2 on), by code, within the
 * transaction's scope. It yields to other work between two chunks.
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

/** The journeys of all samples with a reported milestone, by code. Needs the scope `all`. */
async function readJourneys(client: pg.ClientBase): Promise<Journey[]> {
  const journeys: Journey[] = []
  for await (const rows of REPORTED(client)) for (const row of rows) journeys.push(readJourney(row))
  return journeys
}
