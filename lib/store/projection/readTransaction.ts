import type pg from 'pg'
import { z } from 'zod'
import type { Register } from '@/lib/custody/register'
import type { Scope } from '@/lib/policy/scope'
import { getRegisterAt } from '../ledger/currentRegister'
import { setScope, withScope } from '../scope/scope'
import { statement } from '../scope/statement'
import { deriveDueSamples } from './rebuild'
import { isScoringDue, scoreWithTimeout } from './scoring'
import { LEDGER_POSITION, ledgerPosition } from './transitModelCache'

/** What a query that reads has at hand. */
export interface ReadContext {
  /** Sees only what the scope lets see. */
  client: pg.PoolClient
  /** The whole register: look up in it only what visible rows name. */
  register: Register
  isDemo: boolean
}

const BASIS = statement(
  ledgerPosition.extend({ isDue: z.boolean(), isDemo: z.boolean() }),
  `select ${LEDGER_POSITION},
     exists (select from sample where derive_again_at <= $1) as "isDue",
     exists (select from app_metadata where name = 'demo') as "isDemo"`,
)

/** How long who reads waits for scores, ms. With a large programme they go on being worked out behind its back. */
const SCORING_TIMEOUT_MS = 5_000
const MAX_SCORINGS = 3

/**
 * Runs a query that reads in the scope of its principal, at `now` (ms UTC), after what has become due has been derived
 * and scored. Where scoring takes long, or fails, what stands is read: a standing then turns by what was known before,
 * or by the share of time used.
 */
export async function withReadTransaction<T>(
  pool: pg.Pool,
  scope: Scope,
  now: number,
  work: (reader: ReadContext) => Promise<T>,
): Promise<T> {
  for (let scoring = 0; ; ) {
    const result = await withScope(pool, 'all', async (client) => {
      const basis = await BASIS.one(client, [new Date(now)])
      if (basis.isDue) return 'derive'
      if (scoring < MAX_SCORINGS && (await isScoringDue(pool, client, basis, now))) return 'score'
      const register = await getRegisterAt(pool, client, basis.register)
      await setScope(client, scope)
      return { found: await work({ client, register, isDemo: basis.isDemo }) }
    })
    if (typeof result === 'object') return result.found
    if (result === 'derive') await deriveDueSamples(pool, now)
    // What came while others' scores were worked out is not in them: then once more.
    else scoring = (await scoreWithTimeout(pool, now, SCORING_TIMEOUT_MS)) ? scoring + 1 : MAX_SCORINGS
  }
}
