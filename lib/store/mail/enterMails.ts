import type pg from 'pg'
import { type DigestKey, mailKey } from './digestMails'
import { enterJobs } from './queueJobs'

/** A mail that is due now. */
export interface DueMail extends DigestKey {
  /** Since when it is due, ms UTC. */
  dueAt: number
  /** The person whose mail this one is part of, where it is part of another's: then it does not go by itself. */
  carriedBy?: string | null
  /** What it shares with others to the same person: those that are new together go as one mail. */
  sharing?: string
}

/**
 * Enters mails that are due, each with the job that sees to it, in the transaction of `client`; and a job for each other
 * mail that waits without one. Those that are there already stay as they are, so who enters may do so again and again.
 * `client` works as `holdfast_door`. @returns how many are new.
 */
export async function enterMails(client: pg.PoolClient, due: readonly DueMail[]): Promise<number> {
  const { rows } = await client.query<DigestKey>(
    `insert into digest_mail (person_id, occasion, due_at, carried_by, state)
     select person_id, occasion, due_at, carried_by, case when carried_by is null then 'waiting' else 'carried' end
     from unnest($1::text[], $2::text[], $3::timestamptz[], $4::text[]) as due (person_id, occasion, due_at, carried_by)
     on conflict (person_id, occasion) do nothing returning person_id as "personId", occasion`,
    [
      due.map(({ personId }) => personId),
      due.map(({ occasion }) => occasion),
      due.map(({ dueAt }) => new Date(dueAt)),
      due.map(({ carriedBy }) => carriedBy ?? null),
    ],
  )
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

/**
 * Makes of mails that were entered in this transaction one for each person and what they share: the first is the mail, and
 * the others are part of it. Only of new ones, since what has its job may be on its way already without them.
 */
export async function gatherMails(client: pg.PoolClient, entered: readonly DueMail[]): Promise<void> {
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
  await client.query(
    `update digest_mail mail set part_of = part.part_of, state = 'carried'
     from unnest($1::text[], $2::text[], $3::text[]) as part (person_id, occasion, part_of)
     where mail.person_id = part.person_id and mail.occasion = part.occasion`,
    [
      parts.map(({ personId }) => personId),
      parts.map(({ occasion }) => occasion),
      parts.map(({ partOf }) => partOf),
    ],
  )
}
