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
  forgetHandover,
  formatMailKey,
} from './digestMails'

export interface DueMail extends DigestKey {
  /** ms UTC. */
  dueAt: number
  /** The person with whose mail this one goes; null if it goes by itself. */
  carriedBy?: string | null
  /** New mails of one person with the same batch go as one mail. */
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
 * Inserts mails that are due, with a job each, and a job for each other mail that waits without one. Idempotent: known mails
 * stay as they are. `client` works as `holdfast_door`; `now` in ms UTC. @returns the number of new mails.
 */
export async function enqueueMails(
  client: pg.PoolClient,
  due: readonly DueMail[],
  now: number,
): Promise<number> {
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
  await enqueueJobs(client, now)
  return rows.length
}

/** Most occasions in one mail: mail programs cut off long ones. */
const MAX_OCCASIONS = 50

const GATHER = command(
  `update digest_mail mail set part_of = part.part_of, state = 'carried'
   from unnest($1::text[], $2::text[], $3::text[]) as part (person_id, occasion, part_of)
   where mail.person_id = part.person_id and mail.occasion = part.occasion`,
)

/**
 * Combines the mails of one person and batch: the first is sent, the others are part of it. Only new mails are combined, since
 * one with a job may be on its way already.
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

/** The states after which an administrator may resend a mail: it is not known to have arrived. */
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
 * Enqueues a mail again and audits it. The mail is composed again when it is sent. `now` in ms UTC.
 * @returns false if there is no such mail, it is redacted, or its state does not allow it.
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
    await forgetHandover(client, key)
    await enqueueJobs(client, now)
    const line = {
      what: 'had a mail sent again',
      subject: key.personId,
      before: { for: key.occasion, fate: before.state },
    }
    await appendToAuditLog(client, actor, [line], now)
    return true
  })
}

/** Never started: only for pg-boss's statements, each on the connection of its caller. */
const statements = new PgBoss({
  schema: QUEUE_SCHEMA,
  db: { executeSql: () => Promise.reject(new Error('Pass a connection with each call.')) },
})

const NAME_JOBS = statement(
  digestKey.extend({ id: z.string() }),
  `update digest_mail set job_id = gen_random_uuid()
   from (
     select person_id, occasion from digest_mail mail
     where state = 'waiting' and (due_at <= $1 or occasion !~ '^[0-9]{4}-W') and not exists (
       select from ${QUEUE_SCHEMA}.job where name = '${MAIL_QUEUE}' and id = mail.job_id and state < 'completed')
     for update of mail skip locked
   ) bare
   where digest_mail.person_id = bare.person_id and digest_mail.occasion = bare.occasion
   returning bare.person_id as "personId", bare.occasion, job_id as id`,
)

/**
 * Inserts a job for each waiting mail without one: a new mail, one whose job used up its tries, one to be resent, or one made
 * while the clock was ahead. Of the last, weekly mails wait for their hour. An alert is tried at each poll, since what it says can
 * hold sooner than it did by the clock ahead.
 */
async function enqueueJobs(client: pg.PoolClient, now: number): Promise<void> {
  const named = await NAME_JOBS.all(client, [new Date(now)])
  if (named.length === 0) return
  const jobs = named.map(({ id, ...data }) => ({ id, name: MAIL_QUEUE, data }))
  await statements.insert(jobs, { db: toQueueDb(client) })
}

/** Completes a job, in the transaction that saves the final state of its mail. */
export async function completeJob(client: pg.PoolClient, id: string): Promise<void> {
  await statements.complete(MAIL_QUEUE, id, {}, { db: toQueueDb(client) })
}

/** Fails a try of a job; pg-boss retries it with growing delay until its tries are used up. */
export async function retryJob(client: pg.PoolClient, id: string, said: string): Promise<void> {
  await statements.fail(MAIL_QUEUE, id, { said }, { db: toQueueDb(client) })
}
