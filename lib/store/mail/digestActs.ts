import type pg from 'pg'
import { inScope } from '../scope/scope'

const TWO_WEEKS_MS = 14 * 86_400_000

/** Those of some people who have done nothing that is on record for two weeks at `now` (ms UTC); signing in is nothing done. */
export async function quietPeople(
  pool: pg.Pool,
  ids: readonly string[],
  now: number,
): Promise<ReadonlySet<string>> {
  if (ids.length === 0) return new Set()
  const since = new Date(now - TWO_WEEKS_MS)
  const { rows } = await inScope(pool, 'all', (client) =>
    client.query<{ id: string }>(
      `select id from unnest($1::text[]) as person (id)
       where not exists (select from audit_entry
           where at > $2 and who = 'person ' || id and outcome = 'done' and what !~ '^signed (in|out)')
         and not exists (select from event where received_at > $2 and reported_by = 'person ' || id)`,
      [ids, since],
    ),
  )
  return new Set(rows.map(({ id }) => id))
}
