import type pg from 'pg'
import type { Scope } from '@/lib/policy/scope'
import type { Overdue } from '@/lib/schedule/overdueKinds'
import type { Snooze } from '@/lib/schedule/snooze'
import { type Actor, record } from '../../scope/audit'
import { instantText } from '../../scope/instantText'
import { inScope } from '../../scope/scope'
import type { Queryable } from '../../scope/transaction'

/** Of each subject that the transaction's scope lets see the last snooze, if it has not run out at `now` (ms UTC). */
export async function snoozesAt(db: Queryable, now: number): Promise<Snooze[]> {
  const { rows } = await db.query<
    Pick<Snooze, 'subject' | 'reason' | 'by'> & { untilAt: Date; madeAt: Date }
  >(
    `select * from (
       select distinct on (subject) subject, until_at as "untilAt", reason, made_by as by, made_at as "madeAt"
       from snooze order by subject, seq desc) as last
     where "untilAt" >= $1`,
    [instantText(now)],
  )
  return rows.map((row) => ({ ...row, untilAt: Number(row.untilAt), madeAt: Number(row.madeAt) }))
}

/**
 * Leaves something overdue aside through `untilAt` (ms UTC), and puts that on record. Errors: that of the database
 * where `scope` does not let see what is overdue.
 */
export async function enterSnooze(
  pool: pg.Pool,
  scope: Scope,
  { subject, plant, laboratory, sample, duty }: Overdue,
  { untilAt, reason }: Pick<Snooze, 'untilAt' | 'reason'>,
  actor: Actor,
  now: number,
): Promise<void> {
  await inScope(pool, scope, async (client) => {
    await client.query(
      `insert into snooze (subject, plant, laboratory, until_at, reason, made_by, made_at)
       values ($1, $2, $3, $4, $5, $6, $7)`,
      [subject, plant, laboratory, instantText(untilAt), reason, actor.name, instantText(now)],
    )
    const after = { subject, until: instantText(untilAt), reason }
    await record(client, actor, [{ what: 'left something aside', subject: sample ?? duty, after }], now)
  })
}
