import type pg from 'pg'
import PgBoss from 'pg-boss'
import { authRole } from '../scope/pool'
import { hasTable } from './databases'

/** The schema that pg-boss keeps its tables in; nothing of ours is in it. */
export const QUEUE_SCHEMA = 'queue'

/** A job for each mail that waits. */
export const MAIL_QUEUE = 'mail'

/** A job a minute, over all servers, that looks for mails that are due. */
export const POLL_QUEUE = 'look'

/**
 * How mails are tried. A mail server may take ten minutes to answer (RFC 5321 section 4.5.3.2.6), so a job is taken for
 * that of a dead sender after fifteen. Waits double from one or two minutes, by chance in between so that not all come at
 * once; eight of them last some six hours, and the next look begins anew.
 */
const MAIL_OPTIONS = {
  name: MAIL_QUEUE,
  expireInSeconds: 900,
  retryLimit: 8,
  retryDelay: 60,
  retryBackoff: true,
}

/** A look that failed or was missed is made good by the next one. */
const POLL_OPTIONS = { name: POLL_QUEUE, expireInSeconds: 300, retryLimit: 0, retentionMinutes: 10 }

/** The queue that pg-boss's clock puts its jobs through. The role that it works as may make no queue, so it has to be there. */
const CLOCK_QUEUE = '__pgboss__send-it'

/**
 * Makes the tables of the queue, or brings them to this version of pg-boss, as their owner, and lets `holdfast_door`
 * and nobody else use them. What is as it should be stays so.
 * @returns whether they were made now.
 */
export async function installQueue(client: pg.PoolClient): Promise<boolean> {
  const boss = new PgBoss({ schema: QUEUE_SCHEMA, db: toQueueDb(client), supervise: false, schedule: false })
  const wasThere = await hasTable(client, `${QUEUE_SCHEMA}.version`)
  await boss.start()
  await boss.createQueue(CLOCK_QUEUE)
  for (const options of [MAIL_OPTIONS, POLL_OPTIONS]) {
    await boss.createQueue(options.name, options)
    await boss.updateQueue(options.name, options)
  }
  await boss.schedule(POLL_QUEUE, '* * * * *')
  await boss.stop({ graceful: false })
  // PostgreSQL prepares no grant, and a statement of several parts neither.
  await client.query(
    `grant usage on schema ${QUEUE_SCHEMA} to ${authRole};
     grant select, insert, update, delete on ${QUEUE_SCHEMA}.job, ${QUEUE_SCHEMA}.archive to ${authRole};
     grant select, insert on ${QUEUE_SCHEMA}.queue to ${authRole};
     grant select, update on ${QUEUE_SCHEMA}.version to ${authRole};
     grant select on ${QUEUE_SCHEMA}.schedule to ${authRole}`,
  )
  return !wasThere
}

/** What pg-boss runs its statements on, where that is a connection of ours, in the transaction that it is in. */
export function toQueueDb(client: pg.PoolClient): PgBoss.Db {
  return { executeSql: (text, values) => client.query(text, values) }
}
