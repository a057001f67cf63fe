import type pg from 'pg'
import { type Actor, record } from '../scope/audit'
import { inTransaction } from '../scope/transaction'

/** Where a person's mail goes instead of their own address, null where it does not; and by name who shares that. */
export interface Mailbox {
  mailbox: string | null
  sharers: { id: string; name: string }[]
}

export async function mailboxOf(door: pg.Pool, personId: string): Promise<Mailbox> {
  const { rows } = await door.query<{ mailbox: string | null }>(
    'select mailbox from digest_preference where person_id = $1',
    [personId],
  )
  const mailbox = rows[0]?.mailbox ?? null
  if (mailbox === null) return { mailbox, sharers: [] }
  const sharers = await door.query<{ id: string; name: string }>(
    `select id, name from person left join digest_preference on person_id = id
     where id <> $1 and left_at is null and coalesce(mailbox, email) = $2 order by name, id`,
    [personId, mailbox],
  )
  return { mailbox, sharers: sharers.rows }
}

/** Sets where a person's mail goes (null: to their own address), and records it where it changes. `now` in ms UTC. */
export async function setMailbox(
  door: pg.Pool,
  personId: string,
  mailbox: string | null,
  actor: Actor,
  now: number,
): Promise<void> {
  await inTransaction(door, async (client) => {
    await client.query(
      `insert into digest_preference (person_id) select id from person where id = $1 on conflict do nothing`,
      [personId],
    )
    const { rows } = await client.query<{ mailbox: string | null; own: string }>(
      `select mailbox, email as own from digest_preference join person on id = person_id
       where person_id = $1 for update of digest_preference`,
      [personId],
    )
    const [before] = rows
    const after = mailbox === before?.own ? null : mailbox
    if (!before || before.mailbox === after) return
    await client.query('update digest_preference set mailbox = $2 where person_id = $1', [personId, after])
    const line = {
      what: 'set where mail goes',
      subject: personId,
      before: { mailbox: before.mailbox },
      after: { mailbox: after },
    }
    await record(client, actor, [line], now)
  })
}
