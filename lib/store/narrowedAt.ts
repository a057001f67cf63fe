import type pg from 'pg'
import { inScope } from './scope'

/**
 * When a person was last let see less than before, or given another mailbox, by the record, ms UTC; null where never.
 * A mail of before may tell what is not theirs to see any more.
 */
export async function narrowedAt(app: pg.Pool, personId: string): Promise<number | null> {
  const { rows } = await inScope(app, 'all', (client) =>
    client.query<{ at: Date | null }>(
      `select max(at) as at from audit_entry where subject = $1 and outcome = 'done' and (
         what = 'set where mail goes'
         or what in ('changed a person', 'let a person go') and before ? 'roles' and not (
           after -> 'roles' -> 'plants' @> (before -> 'roles' -> 'plants')
           and after -> 'roles' -> 'laboratories' @> (before -> 'roles' -> 'laboratories')
           and (after -> 'roles' -> 'isAdministrator' = 'true' or before -> 'roles' -> 'isAdministrator' = 'false')))`,
      [personId],
    ),
  )
  return rows[0]?.at?.getTime() ?? null
}
