import type pg from 'pg'
import { z } from 'zod'
import type { Register } from '@/lib/custody/register'
import type { Scope } from '@/lib/policy/scope'
import { getRegisterAt } from '../ledger/currentRegister'
import { setScope, withScope } from '../scope/scope'
import { statement } from '../scope/statement'
import { deriveWithTimeout, IS_DUE } from './deriveDue'
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
     exists (select from sample where ${IS_DUE}) as "isDue",
     exists (select from app_metadata where name = 'demo') as "isDemo"`,
)

/**
 * How long a reader waits for samples to be derived, or for scores, ms. Both go on in the background. No reader waits for
 * them while a request writes.
 */
const CATCH_UP_TIMEOUT_MS = 5_000
const MAX_CATCH_UPS = 3

/**
 * Runs `work` in a read transaction with the row-level security of `scope`, at `now` (ms UTC). First derives and scores the
 * samples that are due for it, if no request writes now. If one does, or if it takes too long or fails, the rows are those
 * there are: a sample as it was last derived, standings by the scores there are or by the share of time used.
 */
export async function withReadTransaction<T>(
  pool: pg.Pool,
  scope: Scope,
  now: number,
  work: (reader: ReadContext) => Promise<T>,
): Promise<T> {
  const left = { derive: MAX_CATCH_UPS, score: MAX_CATCH_UPS }
  for (;;) {
    const result = await withScope(pool, 'all', async (client) => {
      const basis = await BASIS.one(client, [new Date(now)])
      if (left.derive > 0 && basis.isDue) return 'derive'
      if (left.score > 0 && (await isScoringDue(pool, client, basis, now))) return 'score'
      const register = await getRegisterAt(pool, client, basis.register)
      await setScope(client, scope)
      return { found: await work({ client, register, isDemo: basis.isDemo }) }
    })
    if (typeof result === 'object') return result.found
    // One that was already running does not include the latest samples, or this `now`: do it again.
    const catchUp = result === 'derive' ? deriveWithTimeout : scoreWithTimeout
    left[result] = (await catchUp(pool, now, CATCH_UP_TIMEOUT_MS)) ? left[result] - 1 : 0
  }
}
