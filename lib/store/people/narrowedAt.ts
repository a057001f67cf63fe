import type pg from 'pg'
import { NO_ROLES, type Roles } from '@/lib/policy/personRoles'
import { includesScope, toScope } from '@/lib/policy/scope'
import { inScope } from '../scope/scope'

/** What a line of the record says of a person's roles; an old line lacks those that came later. */
type RecordedRoles = { roles?: Partial<Roles> } | null

const recordedScope = (one: RecordedRoles) => toScope({ ...NO_ROLES, ...one?.roles })

/**
 * When a person was last let see less than before, or given another mailbox, by the record, ms UTC; null where never.
 * A mail of before may tell what is not theirs to see any more.
 */
export async function narrowedAt(app: pg.Pool, personId: string): Promise<number | null> {
  const { rows } = await inScope(app, 'all', (client) =>
    client.query<{ at: Date; isMailbox: boolean; before: RecordedRoles; after: RecordedRoles }>(
      `select at, what = 'set where mail goes' as "isMailbox", before, after from audit_entry
       where subject = $1 and outcome = 'done' and (what = 'set where mail goes' or before ? 'roles')
       order by at desc`,
      [personId],
    ),
  )
  const narrowing = rows.find(
    ({ isMailbox, before, after }) =>
      isMailbox || !includesScope(recordedScope(after), recordedScope(before)),
  )
  return narrowing?.at.getTime() ?? null
}
