import type pg from 'pg'
import PgBoss from 'pg-boss'
import { MAILS, onClient, QUEUE_SCHEMA } from '../migrate/queueSchema'

/** pg-boss for its statements alone, each on a connection that it is given: it is never started. */
const statements = new PgBoss({
  schema: QUEUE_SCHEMA,
  db: { executeSql: () => Promise.reject(new Error('Say on which connection.')) },
})

/**
 * Gives a job to each mail that waits and has none, in the transaction of `client`: to one just entered, to one whose
 * job has used up its tries, and to one that is to go once more.
 */
export async function enterJobs(client: pg.PoolClient): Promise<void> {
  const { rows } = await client.query<{ id: string; personId: string; occasion: string }>(
    `update digest_mail set job_id = gen_random_uuid()
     from (
       select person_id, occasion from digest_mail mail
       where state = 'waiting' and not exists (
         select from ${QUEUE_SCHEMA}.job where name = '${MAILS}' and id = mail.job_id and state < 'completed')
       for update of mail skip locked
     ) bare
     where digest_mail.person_id = bare.person_id and digest_mail.occasion = bare.occasion
     returning job_id as id, bare.person_id as "personId", bare.occasion`,
  )
  if (rows.length === 0) return
  const jobs = rows.map(({ id, ...data }) => ({ id, name: MAILS, data }))
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
