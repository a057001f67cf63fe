import type pg from 'pg'
import { z } from 'zod'
import { type Actor, record } from '../scope/audit'
import { command, statement } from '../scope/statement'
import { inTransaction } from '../scope/transaction'

const stored = z.object({ mailbox: z.string().nullable() })
const MAILBOX = statement(stored, 'select mailbox from digest_preference where person_id = $1')
const SHARERS = statement(
  z.object({ id: z.string(), name: z.string() }),
  `select id, name from person left join digest_preference on person_id = id
   where id <> $1 and left_at is null and coalesce(mailbox, email) = $2 order by name, id`,
)

/** Where a person's mail goes instead of their own address, null where it does not; and by name who shares that. */
export async function mailboxOf(door: pg.Pool, personId: string) {
  const mailbox = (await MAILBOX.first(door, [personId]))?.mailbox ?? null
  return { mailbox, sharers: mailbox === null ? [] : await SHARERS.all(door, [personId, mailbox]) }
}

const ENTER = command(
  'insert into digest_preference (person_id) select id from person where id = $1 on conflict do nothing',
)
const LOCK = statement(
  stored.extend({ own: z.string() }),
  `select mailbox, email as own from digest_preference join person on id = person_id
   where person_id = $1 for update of digest_preference`,
)
const SET = command('update digest_preference set mailbox = $2 where person_id = $1')

/** Sets where a person's mail goes (null: to their own address), and records it where it changes. `now` in ms UTC. */
export async function setMailbox(
  door: pg.Pool,
  personId: string,
  mailbox: string | null,
  actor: Actor,
  now: number,
): Promise<void> {
  await inTransaction(door, async (client) => {
    await ENTER.run(client, [personId])
    const before = await LOCK.first(client, [personId])
    const after = mailbox === before?.own ? null : mailbox
    if (!before || before.mailbox === after) return
    await SET.run(client, [personId, after])
    const line = {
      what: 'set where mail goes',
      subject: personId,
      before: { mailbox: before.mailbox },
      after: { mailbox: after },
    }
    await record(client, actor, [line], now)
  })
}
