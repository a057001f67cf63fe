import type pg from 'pg'

/** What became of a mail. `waiting`: it is to go; `carried`: part of another person's; the rest are ends. */
export type DigestState =
  | 'waiting'
  | 'sent'
  | 'written'
  | 'carried'
  | 'nothing to say'
  | 'refused'
  | 'given up'
  | 'uncertain'

/** The key of a mail: there is one for each person and ISO week. */
export interface DigestKey {
  personId: string
  /** An ISO week, like 2026-W48. */
  occasion: string
}

export interface DueMail extends DigestKey {
  /** ms UTC. */
  dueAt: number
  carriedBy: string | null
}

export interface ClaimedMail extends DigestKey {
  dueAt: number
  tries: number
}

/** Enters mails that are due at `dueAt`. Those that are there already stay as they are. @returns how many are new. */
export async function enterDueMails(door: pg.Pool | pg.PoolClient, due: readonly DueMail[]): Promise<number> {
  const { rowCount } = await door.query(
    `insert into digest_mail (person_id, occasion, due_at, try_at, carried_by, state)
     select person_id, occasion, due_at, due_at, carried_by, case when carried_by is null then 'waiting' else 'carried' end
     from unnest($1::text[], $2::text[], $3::timestamptz[], $4::text[]) as due (person_id, occasion, due_at, carried_by)
     on conflict (person_id, occasion) do nothing`,
    [
      due.map(({ personId }) => personId),
      due.map(({ occasion }) => occasion),
      due.map(({ dueAt }) => new Date(dueAt)),
      due.map(({ carriedBy }) => carriedBy),
    ],
  )
  return rowCount ?? 0
}

/** A mail's key in one text. */
export function mailKey({ personId, occasion }: DigestKey): string {
  return `${personId} ${occasion}`
}

/** Which of those due have a row already, by `mailKey`. */
export async function knownMails(door: pg.Pool, due: readonly DigestKey[]): Promise<Set<string>> {
  const { rows } = await door.query<DigestKey>(
    `select person_id as "personId", occasion from digest_mail
     where (person_id, occasion) in (select * from unnest($1::text[], $2::text[]))`,
    [due.map(({ personId }) => personId), due.map(({ occasion }) => occasion)],
  )
  return new Set(rows.map(mailKey))
}

/**
 * Takes the mail that has waited longest and is to be tried at `now` (ms UTC), for as long as the transaction of
 * `client` lasts. What another has in hand is passed over; where it dies, the database lets go of it.
 */
export async function claimMail(client: pg.PoolClient, now: number): Promise<ClaimedMail | null> {
  const { rows } = await client.query<{ personId: string; occasion: string; dueAt: Date; tries: number }>(
    `select person_id as "personId", occasion, due_at as "dueAt", tries from digest_mail
     where state = 'waiting' and try_at <= $1 order by try_at limit 1 for update skip locked`,
    [new Date(now)],
  )
  const [row] = rows
  return row ? { ...row, dueAt: row.dueAt.getTime() } : null
}

/** A mail as it goes. */
export interface ComposedMail {
  address: string
  messageId: string
  subject: string
  text: string
  html: string
  /** Keys of what it names. */
  named: readonly string[]
}

export interface MailEnd {
  state: Exclude<DigestState, 'carried'>
  said: string | null
  /** When it is tried again, where it still waits. */
  tryAt?: number
  mail?: ComposedMail | null
}

/** Keeps what became of a claimed mail, in the transaction that claimed it. */
export async function endMail(
  client: pg.PoolClient,
  key: DigestKey,
  end: MailEnd,
  now: number,
): Promise<void> {
  const { state, said, tryAt, mail } = end
  await client.query(
    `update digest_mail set state = $3, said = $4, tries = tries + 1, try_at = coalesce($5, try_at),
       ended_at = case when $3 = 'waiting' then null else $6::timestamptz end,
       address = coalesce($7, address), message_id = coalesce($8, message_id), subject = coalesce($9, subject),
       body_text = coalesce($10, body_text), body_html = coalesce($11, body_html), named = coalesce($12, named)
     where person_id = $1 and occasion = $2`,
    [
      key.personId,
      key.occasion,
      state,
      said,
      tryAt === undefined ? null : new Date(tryAt),
      new Date(now),
      mail?.address,
      mail?.messageId,
      mail?.subject,
      mail?.text,
      mail?.html,
      mail?.named,
    ],
  )
}

/**
 * Says, at once and for all to see, that the last line of a mail is about to go to the mail server.
 * @returns false where another sender has said so before: then it must not go.
 */
export async function beginHandover(door: pg.Pool, key: DigestKey, now: number): Promise<boolean> {
  const { rowCount } = await door.query(
    'insert into digest_handover (person_id, occasion, begun_at) values ($1, $2, $3) on conflict do nothing',
    [key.personId, key.occasion, new Date(now)],
  )
  return rowCount === 1
}

/** Whether the last line of a mail was about to go, and it never came to be known whether the server took it. */
export async function wasHandedOver(client: pg.PoolClient, key: DigestKey): Promise<boolean> {
  const { rowCount } = await client.query(
    'select from digest_handover where person_id = $1 and occasion = $2',
    [key.personId, key.occasion],
  )
  return rowCount === 1
}

/** Takes that back, where the server has said that it did not take the mail, or a person has it sent once more. */
export async function takeBackHandover(client: pg.PoolClient, key: DigestKey): Promise<void> {
  await client.query('delete from digest_handover where person_id = $1 and occasion = $2', [
    key.personId,
    key.occasion,
  ])
}

/** What the last weekly mail of a person before an instant named, and when it ended; null where there was none. */
export async function lastNamed(
  db: pg.Pool | pg.PoolClient,
  personId: string,
  before: number,
): Promise<{ at: number; named: string[] } | null> {
  const { rows } = await db.query<{ at: Date; named: string[] }>(
    `select ended_at as at, named from digest_mail
     where person_id = $1 and due_at < $2 and state in ('sent', 'written', 'uncertain') and occasion ~ '^[0-9]{4}-W' order by due_at desc limit 1`,
    [personId, new Date(before)],
  )
  const [row] = rows
  return row ? { at: row.at.getTime(), named: row.named } : null
}

/** Names of those whose mail of the same occasion is part of this one. */
export async function carriedNames(door: pg.Pool, { personId, occasion }: DigestKey): Promise<string[]> {
  const { rows } = await door.query<{ name: string }>(
    `select name from digest_mail join person on person.id = person_id
     where carried_by = $1 and occasion = $2 order by name`,
    [personId, occasion],
  )
  return rows.map(({ name }) => name)
}
