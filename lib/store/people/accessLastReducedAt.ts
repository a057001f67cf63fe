import type pg from 'pg'
import { z } from 'zod'
import { NO_ROLES } from '@/lib/policy/personRoles'
import { includesScope, toScope } from '@/lib/policy/scope'
import { withScope } from '../scope/scope'
import { statement } from '../scope/statement'

/** What a line of the record says of a person's roles; an old line lacks those that came later. */
const recordedRoles = z
  .object({
    roles: z
      .object({
        isAdministrator: z.boolean(),
        isReader: z.boolean(),
        plants: z.array(z.string()),
        laboratories: z.array(z.string()),
      })
      .partial()
      .optional(),
  })
  .nullable()

const toRecordedScope = (one: z.infer<typeof recordedRoles>) => toScope({ ...NO_ROLES, ...one?.roles })

const CHANGES = statement(
  z.object({ at: z.date(), isMailbox: z.boolean(), before: recordedRoles, after: recordedRoles }),
  `select at, what = 'set where mail goes' as "isMailbox", before, after from audit_entry
   where subject = $1 and outcome = 'done' and (what = 'set where mail goes' or before ? 'roles')
   order by at desc`,
)

/**
 * When a person was last let see less than before, or given another mailbox, by the record, ms UTC; null where never.
 * A mail of before may tell what is not theirs to see any more.
 */
export async function findAccessLastReducedAt(app: pg.Pool, personId: string): Promise<number | null> {
  const changes = await withScope(app, 'all', (client) => CHANGES.all(client, [personId]))
  const narrowing = changes.find(
    ({ isMailbox, before, after }) =>
      isMailbox || !includesScope(toRecordedScope(after), toRecordedScope(before)),
  )
  return narrowing?.at.getTime() ?? null
}
