import type pg from 'pg'
import { DAY } from '@/lib/hold/zone'

/** What a mail said is kept for so long after it came to its end, ms: half a year. Chosen, no source. */
export const MAIL_KEPT_MS = 26 * 7 * DAY

/** So many at once, so that a look stays short; the next ones go on. */
const MOST = 1_000

/**
 * Lets go of what old mails said, where they went and what mail servers said of them, in the transaction of `client`,
 * which works as `holdfast_door`. Whose each was, for what, and what became of it stays, so that none ever goes twice.
 * `now` in ms UTC. @returns of how many.
 */
export async function emptyOldMails(client: pg.PoolClient, now: number): Promise<number> {
  const { rowCount } = await client.query(
    `update digest_mail set emptied_at = $1, address = null, message_id = null, subject = null, body_text = null,
       body_html = null, named = '{}', said = null
     from (
       select person_id, occasion from digest_mail
       where emptied_at is null and ended_at < $2 and state <> 'waiting'
       order by ended_at limit ${MOST} for update skip locked
     ) old
     where digest_mail.person_id = old.person_id and digest_mail.occasion = old.occasion`,
    [new Date(now), new Date(now - MAIL_KEPT_MS)],
  )
  return rowCount ?? 0
}
