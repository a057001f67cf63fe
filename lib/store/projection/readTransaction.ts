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

export interface ReadContext {
  /** Row-level security limits it to the scope. */
  client: pg.PoolClient
  /** The whole register: look up only codes that visible rows contain. */
  register: Register
  isDemo: boolean
}

const BASIS = statement(
  ledgerPosition.extend({ isDue: z.boolean(), isDemo: z.boolean() }),
  `select ${LEDGER_POSITION},
     exists (select from sample where derive_again_at <= $1) as "isDue",
     exists (select from app_metadata where name = 'demo') as "isDemo"`,
)

/** Maximum wait for scoring before stale scores are served, ms. Scoring goes on in the background. */
const SCORING_TIMEOUT_MS = 5_000
const MAX_SCORINGS = 3

/**
 * Runs `work` in a read transaction with the row-level security of `scope`, at `now` (ms UTC). First derives and scores the
 * samples that are due for it. If scoring takes too long or fails, standings follow the scores there are, or by the share
 * of time used.
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
    // A scoring that was already running does not include the latest samples: score again.
    else scoring = (await scoreWithTimeout(pool, now, SCORING_TIMEOUT_MS)) ? scoring + 1 : MAX_SCORINGS
  }
}
