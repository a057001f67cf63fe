import type pg from 'pg'
import { z } from 'zod'
import type { Overdue } from '@/lib/judgement/overdueKinds'
import type { SetAside } from '@/lib/judgement/setAside'
import type { Scope } from '@/lib/policy/scope'
import type { Actor } from '../../scope/audit'
import { transact } from '../../scope/prisma'
import { toSqlInstant } from '../../scope/sqlInstant'
import { statement } from '../../scope/statement'
import type { Queryable } from '../../scope/transaction'

const LAST = statement(
  z.object({ subject: z.string(), untilAt: z.date(), reason: z.string(), by: z.string(), madeAt: z.date() }),
  `select * from (
     select distinct on (subject) subject, until_at as "untilAt", reason, made_by as by, made_at as "madeAt"
     from snooze order by subject, seq desc) as last
   where "untilAt" >= $1`,
)

/** The last set-aside of each subject in the transaction’s scope, if it has not run out at `now` (ms UTC). */
export async function listSetAsides(db: Queryable, now: number): Promise<SetAside[]> {
  const rows = await LAST.all(db, [toSqlInstant(now)])
  return rows.map((row) => ({ ...row, untilAt: Number(row.untilAt), madeAt: Number(row.madeAt) }))
}

/**
 * Sets an overdue task aside through `untilAt` (ms UTC) and writes an audit entry. Throws the database's error if `scope`
 * does not see the task.
 */
export async function recordSetAside(
  pool: pg.Pool,
  scope: Scope,
  { subject, plant, laboratory, sample, duty }: Overdue,
  { untilAt, reason }: Pick<SetAside, 'untilAt' | 'reason'>,
  actor: Actor,
  now: number,
): Promise<void> {
  const [until, madeAt] = [new Date(untilAt), new Date(now)]
  await transact(
    pool,
    async (db, audit) => {
      const entry = { subject, plant, laboratory, untilAt: until, reason, madeBy: actor.name, madeAt }
      await db.snooze.createMany({ data: entry })
      const after = { subject, until, reason }
      audit(actor, now, { what: 'left something aside', subject: sample ?? duty, after })
    },
    scope,
  )
}
