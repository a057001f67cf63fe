import type pg from 'pg'
import PgBoss from 'pg-boss'
import { authRole } from '../scope/pool'
import { hasTable } from './databases'

/** The schema of pg-boss's tables; it holds nothing of ours. */
export const QUEUE_SCHEMA = 'queue'

/** Queue with a job for each waiting mail. */
export const MAIL_QUEUE = 'mail'

/** Queue with one job per minute, over all servers, that looks for due mail. */
export const POLL_QUEUE = 'look'

/**
 * Retries of a mail. A mail server may take ten minutes to answer (RFC 5321, section 4.5.3.2.6), so a job counts as
 * abandoned after fifteen. Delays double from one or two minutes, with jitter; eight retries last about six hours, and
 * the next poll starts over.
 */
const MAIL_OPTIONS = {
  name: MAIL_QUEUE,
  expireInSeconds: 900,
  retryLimit: 8,
  retryDelay: 60,
  retryBackoff: true,
}

/** A failed or missed poll needs no retry: the next one catches up. */
const POLL_OPTIONS = { name: POLL_QUEUE, expireInSeconds: 300, retryLimit: 0, retentionMinutes: 10 }

/** The queue of pg-boss's own scheduler. The role it works as may not create queues, so the migration does. */
export const CLOCK_QUEUE = '__pgboss__send-it'

/**
 * Creates or upgrades the queue's tables as their owner, and grants their use to `holdfast_door` alone. Idempotent.
 * @returns whether they were created now.
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
  // PostgreSQL cannot prepare GRANT, nor several statements at once.
  await client.query(
    `grant usage on schema ${QUEUE_SCHEMA} to ${authRole};
     grant select, insert, update, delete on ${QUEUE_SCHEMA}.job, ${QUEUE_SCHEMA}.archive to ${authRole};
     grant select, insert on ${QUEUE_SCHEMA}.queue to ${authRole};
     grant select, update on ${QUEUE_SCHEMA}.version to ${authRole};
     grant select on ${QUEUE_SCHEMA}.schedule to ${authRole}`,
  )
  return !wasThere
}

/** Lets pg-boss run its statements on one of our connections, within its transaction. */
export function toQueueDb(client: pg.PoolClient): PgBoss.Db {
  return { executeSql: (text, values) => client.query(text, values) }
}
