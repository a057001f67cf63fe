import type pg from 'pg'
import { z } from 'zod'
import { NO_ROLES } from '@/lib/policy/personRoles'
import { includesScope, toScope } from '@/lib/policy/scope'
import { withScope } from '../scope/scope'
import { statement } from '../scope/statement'

/** A person's roles as an audit line holds them; an old line lacks the roles that were added later. */
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
 * When a person's access was last reduced, or their mailbox changed, by the audit log; ms UTC, null if never. An older
 * mail may tell what they may no longer see.
 */
export async function findAccessLastReducedAt(app: pg.Pool, personId: string): Promise<number | null> {
  const changes = await withScope(app, 'all', (client) => CHANGES.all(client, [personId]))
  const narrowing = changes.find(
    ({ isMailbox, before, after }) =>
      isMailbox || !includesScope(toRecordedScope(after), toRecordedScope(before)),
  )
  return narrowing?.at.getTime() ?? null
}
