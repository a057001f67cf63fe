import type pg from 'pg'
import type { Register } from '@/lib/custody/register'
import { registerAt } from './currentRegister'
import { deriveWhatIsDue } from './rebuild'
import { inScope, type Scope, setScope } from './scope'

/** What a query that reads has at hand. */
export interface Reader {
  /** Sees only what the scope lets see. */
  client: pg.PoolClient
  /** The whole register: look up in it only what visible rows name. */
  register: Register
  isDemo: boolean
}

interface Basis {
  seq: string
  isDue: boolean
  isDemo: boolean
}

/**
 * Runs a query that reads in the scope of its principal, at `now` (ms UTC), after what has become due has been derived.
 */
export async function asReader<T>(
  pool: pg.Pool,
  scope: Scope,
  now: number,
  work: (reader: Reader) => Promise<T>,
): Promise<T> {
  const result = await inScope(pool, 'all', async (client) => {
    const { rows } = await client.query<Basis>(
      `select (select coalesce(max(seq), 0)::text from register_entry where kind <> 'kit') as seq,
         exists (select from sample where derive_again_at <= $1) as "isDue",
         exists (select from mark where name = 'demo') as "isDemo"`,
      [new Date(now)],
    )
    const { seq, isDue, isDemo } = rows[0] as Basis
    if (isDue) return null
    const register = await registerAt(pool, client, seq)
    await setScope(client, scope)
    return { found: await work({ client, register, isDemo }) }
  })
  if (result) return result.found
  await deriveWhatIsDue(pool, now)
  return asReader(pool, scope, now, work)
}
