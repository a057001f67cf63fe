import type pg from 'pg'
import { type Actor, record } from '../scope/audit'
import { inTransaction } from '../scope/transaction'
import { type DigestKey, type DigestState, takeBackHandover } from './digestMails'
import { enterJobs } from './queueJobs'

/** The fates after which a person may have a mail sent once more: nobody knows that it arrived. */
export const SENT_AGAIN_AFTER: readonly DigestState[] = ['uncertain', 'refused', 'given up']

/**
 * Has a mail sent once more that may not have arrived, and records who wanted that. It is made anew when it goes. `now` in
 * ms UTC. @returns false where there is no such mail, it is old, or it has another fate by now: then nothing happens.
 */
export async function sendAgain(door: pg.Pool, key: DigestKey, actor: Actor, now: number): Promise<boolean> {
  return inTransaction(door, async (client) => {
    const { rows } = await client.query<{ state: DigestState }>(
      `select state from digest_mail where person_id = $1 and occasion = $2 and state = any($3) and emptied_at is null
       for update`,
      [key.personId, key.occasion, SENT_AGAIN_AFTER],
    )
    const [before] = rows
    if (!before) return false
    await client.query(
      `update digest_mail set state = 'waiting', ended_at = null where person_id = $1 and occasion = $2`,
      [key.personId, key.occasion],
    )
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
