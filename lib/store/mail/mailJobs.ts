import type pg from 'pg'
import PgBoss from 'pg-boss'
import { z } from 'zod'
import { MAIL_QUEUE, QUEUE_SCHEMA, toQueueDb } from '../migrate/queueSchema'
import { type Actor, appendToAuditLog } from '../scope/audit'
import { command, statement } from '../scope/statement'
import { withTransaction } from '../scope/transaction'
import {
  DIGEST_STATES,
  type DigestKey,
  type DigestState,
  digestKey,
  formatMailKey,
  undoHandover,
} from './digestMails'

/** A mail that is due now. */
export interface DueMail extends DigestKey {
  /** Since when it is due, ms UTC. */
  dueAt: number
  /** The person whose mail this one is part of, where it is part of another's: then it does not go by itself. */
  carriedBy?: string | null
  /** What it shares with others to the same person: those that are new together go as one mail. */
  batch?: string
}

const ENTER = statement(
  digestKey,
  `insert into digest_mail (person_id, occasion, due_at, carried_by, state)
   select person_id, occasion, due_at, carried_by, case when carried_by is null then 'waiting' else 'carried' end
   from unnest($1::text[], $2::text[], $3::timestamptz[], $4::text[]) as due (person_id, occasion, due_at, carried_by)
   on conflict (person_id, occasion) do nothing returning person_id as "personId", occasion`,
)

/**
 * Enters mails that are due, each with the job that sees to it, in the transaction of `client`; and a job for each other
 * mail that waits without one. Those that are there already stay as they are, so who enters may do so again and again.
 * `client` works as `holdfast_door`. @returns how many are new.
 */
export async function enqueueMails(client: pg.PoolClient, due: readonly DueMail[]): Promise<number> {
  const rows = await ENTER.all(client, [
    due.map(({ personId }) => personId),
    due.map(({ occasion }) => occasion),
    due.map(({ dueAt }) => new Date(dueAt)),
    due.map(({ carriedBy }) => carriedBy ?? null),
  ])
  const entered = new Set(rows.map(formatMailKey))
  await combineMails(
    client,
    due.filter((one) => entered.has(formatMailKey(one))),
  )
  await enqueueJobs(client)
  return rows.length
}

/** So many occasions go in one mail at most: mail programs cut off what is too long. */
const MAX_OCCASIONS = 50

const GATHER = command(
  `update digest_mail mail set part_of = part.part_of, state = 'carried'
   from unnest($1::text[], $2::text[], $3::text[]) as part (person_id, occasion, part_of)
   where mail.person_id = part.person_id and mail.occasion = part.occasion`,
)

/**
 * Makes of mails that were entered in this transaction one for each person and what they share: the first is the mail, and
 * the others are part of it. Only of new ones, since what has its job may be on its way already without them.
 */
async function combineMails(client: pg.PoolClient, entered: readonly DueMail[]): Promise<void> {
  const shared = new Map<string, DueMail[]>()
  for (const one of entered) {
    if (one.batch === undefined) continue
    const key = JSON.stringify([one.personId, one.carriedBy ?? null, one.batch])
    shared.set(key, [...(shared.get(key) ?? []), one])
  }
  const parts = [...shared.values()].flatMap((mails) =>
    mails.flatMap((mail, index) => {
      const first = mails[index - (index % MAX_OCCASIONS)]
      return first === undefined || first === mail ? [] : [{ ...mail, partOf: first.occasion }]
    }),
  )
  if (parts.length === 0) return
  await GATHER.run(client, [
    parts.map(({ personId }) => personId),
    parts.map(({ occasion }) => occasion),
    parts.map(({ partOf }) => partOf),
  ])
}

/** The fates after which a person may have a mail sent once more: nobody knows that it arrived. */
export const RESENDABLE_STATES: readonly DigestState[] = ['uncertain', 'refused', 'given up']

const LOCK_RESENDABLE = statement(
  z.object({ state: z.enum(DIGEST_STATES) }),
  `select state from digest_mail where person_id = $1 and occasion = $2 and state = any($3) and emptied_at is null
   for update`,
)
const RESET_TO_WAITING = command(
  `update digest_mail set state = 'waiting', ended_at = null where person_id = $1 and occasion = $2`,
)

/**
 * Has a mail sent once more that may not have arrived, and records who wanted that. It is made anew when it goes. `now` in
 * ms UTC. @returns false where there is no such mail, it is old, or it has another fate by now: then nothing happens.
 */
export async function resendMail(
  authPool: pg.Pool,
  key: DigestKey,
  actor: Actor,
  now: number,
): Promise<boolean> {
  return withTransaction(authPool, async (client) => {
    const before = await LOCK_RESENDABLE.first(client, [key.personId, key.occasion, RESENDABLE_STATES])
    if (!before) return false
    await RESET_TO_WAITING.run(client, [key.personId, key.occasion])
    await undoHandover(client, key)
    await enqueueJobs(client)
    const line = {
      what: 'had a mail sent again',
      subject: key.personId,
      before: { for: key.occasion, fate: before.state },
    }
    await appendToAuditLog(client, actor, [line], now)
    return true
  })
}

/** pg-boss for its statements alone, each on a connection that it is given: it is never started. */
const statements = new PgBoss({
  schema: QUEUE_SCHEMA,
  db: { executeSql: () => Promise.reject(new Error('Say on which connection.')) },
})

const NAME_JOBS = statement(
  digestKey.extend({ id: z.string() }),
  `update digest_mail set job_id = gen_random_uuid()
   from (
     select person_id, occasion from digest_mail mail
     where state = 'waiting' and not exists (
       select from ${QUEUE_SCHEMA}.job where name = '${MAIL_QUEUE}' and id = mail.job_id and state < 'completed')
     for update of mail skip locked
   ) bare
   where digest_mail.person_id = bare.person_id and digest_mail.occasion = bare.occasion
   returning bare.person_id as "personId", bare.occasion, job_id as id`,
)

/**
 * Gives a job to each mail that waits and has none, in the transaction of `client`: to one just entered, to one whose
 * job has used up its tries, and to one that is to go once more.
 */
async function enqueueJobs(client: pg.PoolClient): Promise<void> {
  const named = await NAME_JOBS.all(client)
  if (named.length === 0) return
  const jobs = named.map(({ id, ...data }) => ({ id, name: MAIL_QUEUE, data }))
  await statements.insert(jobs, { db: toQueueDb(client) })
}

/** Ends a job whose mail has come to its fate, in the transaction that keeps the fate. */
export async function completeJob(client: pg.PoolClient, id: string): Promise<void> {
  await statements.complete(MAIL_QUEUE, id, {}, { db: toQueueDb(client) })
}

/** Puts a job off: it is tried again by itself, later each time, until its tries are used up. */
export async function retryJob(client: pg.PoolClient, id: string, said: string): Promise<void> {
  await statements.fail(MAIL_QUEUE, id, { said }, { db: toQueueDb(client) })
}
