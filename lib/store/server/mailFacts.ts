import type pg from 'pg'
import { z } from 'zod'
import { DAY } from '@/lib/hold/zone'
import { DIGEST_STATES, type DigestState } from '../mail/digestMails'
import { POLL_QUEUE, QUEUE_SCHEMA } from '../migrate/queueSchema'
import { statement } from '../scope/statement'

/** What is known of the mails and of their queue. Instants in ms UTC; null if there is none. */
export interface MailFacts {
  /** When a server last looked for due mail. */
  polledAt: number | null
  /** Mails by their state, over all time. */
  counts: Readonly<Record<DigestState, number>>
  /** Since when the mail that has waited longest is due. */
  waitingSince: number | null
  /** Waiting mails that the mail server did not take at the first try. */
  triedInVain: number
  /** Of the last seven days. */
  inDoubt: number
  givenUp: number
  /** When the mail server last took a mail, or one was written to the outbox. */
  lastSentAt: number | null
}

// The queue deletes old jobs, so the newest one tells enough. A job that is done is archived after a while.
const POLLED = statement(
  z.object({ at: z.date().nullable() }),
  `select max(completed_on) as at from (
     select completed_on from ${QUEUE_SCHEMA}.job where name = '${POLL_QUEUE}' and state = 'completed'
     union all select completed_on from ${QUEUE_SCHEMA}.archive where name = '${POLL_QUEUE}' and state = 'completed'
   ) as polls`,
)

const BY_STATE = statement(
  z.object({ state: z.enum(DIGEST_STATES), count: z.number() }),
  'select state, count(*)::int as count from digest_mail group by state',
)

const RECENT = statement(
  z.object({
    waitingSince: z.date().nullable(),
    triedInVain: z.number(),
    inDoubt: z.number(),
    givenUp: z.number(),
    lastSentAt: z.date().nullable(),
  }),
  `select min(due_at) filter (where state = 'waiting') as "waitingSince",
     (count(*) filter (where state = 'waiting' and tries > 0))::int as "triedInVain",
     (count(*) filter (where state = 'uncertain' and ended_at > $1))::int as "inDoubt",
     (count(*) filter (where state = 'given up' and ended_at > $1))::int as "givenUp",
     max(ended_at) filter (where state in ('sent', 'written')) as "lastSentAt"
   from digest_mail`,
)

/** Works as `holdfast_door`. `now` in ms UTC. */
export async function readMailFacts(authPool: pg.Pool, now: number): Promise<MailFacts> {
  const polled = await POLLED.one(authPool)
  const states = await BY_STATE.all(authPool)
  const recent = await RECENT.one(authPool, [new Date(now - 7 * DAY)])
  const counts = Object.fromEntries(DIGEST_STATES.map((state) => [state, 0])) as Record<DigestState, number>
  for (const { state, count } of states) counts[state] = count
  return {
    ...recent,
    counts,
    polledAt: polled.at?.getTime() ?? null,
    waitingSince: recent.waitingSince?.getTime() ?? null,
    lastSentAt: recent.lastSentAt?.getTime() ?? null,
  }
}
