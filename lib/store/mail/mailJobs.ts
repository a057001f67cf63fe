import type pg from 'pg'
import PgBoss from 'pg-boss'
import { z } from 'zod'
import { MAILS, onClient, QUEUE_SCHEMA } from '../migrate/queueSchema'
import { type Actor, record } from '../scope/audit'
import { command, statement } from '../scope/statement'
import { inTransaction } from '../scope/transaction'
import {
  DIGEST_STATES,
  type DigestKey,
  type DigestState,
  digestKey,
  mailKey,
  takeBackHandover,
} from './digestMails'

/** A mail that is due now. */
export interface DueMail extends DigestKey {
  /** Since when it is due, ms UTC. */
  dueAt: number
  /** The person whose mail this one is part of, where it is part of another's: then it does not go by itself. */
  carriedBy?: string | null
  /** What it shares with others to the same person: those that are new together go as one mail. */
  sharing?: string
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
export async function enterMails(client: pg.PoolClient, due: readonly DueMail[]): Promise<number> {
  const rows = await ENTER.all(client, [
    due.map(({ personId }) => personId),
    due.map(({ occasion }) => occasion),
    due.map(({ dueAt }) => new Date(dueAt)),
    due.map(({ carriedBy }) => carriedBy ?? null),
  ])
  const entered = new Set(rows.map(mailKey))
  await gatherMails(
    client,
    due.filter((one) => entered.has(mailKey(one))),
  )
  await enterJobs(client)
  return rows.length
}

/** So many occasions go in one mail at most: mail programs cut off what is too long. */
const MOST = 50

const GATHER = command(
  `update digest_mail mail set part_of = part.part_of, state = 'carried'
   from unnest($1::text[], $2::text[], $3::text[]) as part (person_id, occasion, part_of)
   where mail.person_id = part.person_id and mail.occasion = part.occasion`,
)

/**
 * Makes of mails that were entered in this transaction one for each person and what they share: the first is the mail, and
 * the others are part of it. Only of new ones, since what has its job may be on its way already without them.
 */
async function gatherMails(client: pg.PoolClient, entered: readonly DueMail[]): Promise<void> {
  const shared = new Map<string, DueMail[]>()
  for (const one of entered) {
    if (one.sharing === undefined) continue
    const key = JSON.stringify([one.personId, one.carriedBy ?? null, one.sharing])
    shared.set(key, [...(shared.get(key) ?? []), one])
  }
  const parts = [...shared.values()].flatMap((mails) =>
    mails.flatMap((mail, index) => {
      const first = mails[index - (index % MOST)]
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
export const SENT_AGAIN_AFTER: readonly DigestState[] = ['uncertain', 'refused', 'given up']

const MAY_GO_AGAIN = statement(
  z.object({ state: z.enum(DIGEST_STATES) }),
  `select state from digest_mail where person_id = $1 and occasion = $2 and state = any($3) and emptied_at is null
   for update`,
)
const WAIT_AGAIN = command(
  `update digest_mail set state = 'waiting', ended_at = null where person_id = $1 and occasion = $2`,
)

/**
 * Has a mail sent once more that may not have arrived, and records who wanted that. It is made anew when it goes. `now` in
 * ms UTC. @returns false where there is no such mail, it is old, or it has another fate by now: then nothing happens.
 */
export async function sendAgain(door: pg.Pool, key: DigestKey, actor: Actor, now: number): Promise<boolean> {
  return inTransaction(door, async (client) => {
    const before = await MAY_GO_AGAIN.first(client, [key.personId, key.occasion, SENT_AGAIN_AFTER])
    if (!before) return false
    await WAIT_AGAIN.run(client, [key.personId, key.occasion])
    await takeBackHandover(client, key)
    await enterJobs(client)
    const line = {
      what: 'had a mail sent again',
      subject: key.personId,
      before: { for: key.occasion, fate: before.state },
    }
    await record(client, actor, [line], now)
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
       select from ${QUEUE_SCHEMA}.job where name = '${MAILS}' and id = mail.job_id and state < 'completed')
     for update of mail skip locked
   ) bare
   where digest_mail.person_id = bare.person_id and digest_mail.occasion = bare.occasion
   returning bare.person_id as "personId", bare.occasion, job_id as id`,
)

/**
 * Gives a job to each mail that waits and has none, in the transaction of `client`: to one just entered, to one whose
 * job has used up its tries, and to one that is to go once more.
 */
async function enterJobs(client: pg.PoolClient): Promise<void> {
  const named = await NAME_JOBS.all(client)
  if (named.length === 0) return
  const jobs = named.map(({ id, ...data }) => ({ id, name: MAILS, data }))
  await statements.insert(jobs, { db: onClient(client) })
}

/** Ends a job whose mail has come to its fate, in the transaction that keeps the fate. */
export async function endJob(client: pg.PoolClient, id: string): Promise<void> {
  await statements.complete(MAILS, id, {}, { db: onClient(client) })
}

/** Puts a job off: it is tried again by itself, later each time, until its tries are used up. */
export async function putOffJob(client: pg.PoolClient, id: string, said: string): Promise<void> {
  await statements.fail(MAILS, id, { said }, { db: onClient(client) })
}
