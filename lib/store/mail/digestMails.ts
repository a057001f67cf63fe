import type pg from 'pg'

/** What becomes of a mail. `waiting`: it is to go; `carried`: part of another person's; the rest are ends. */
export const DIGEST_STATES = [
  'waiting',
  'sent',
  'written',
  'carried',
  'nothing to say',
  'refused',
  'given up',
  'uncertain',
] as const
export type DigestState = (typeof DIGEST_STATES)[number]

/** The key of a mail: there is one for each person and ISO week, or turn of a sample. */
export interface DigestKey {
  personId: string
  /** An ISO week, like 2026-W48; for a mail at once what it is about. */
  occasion: string
}

/** A mail that a sender has in hand. */
export interface ClaimedMail extends DigestKey {
  /** ms UTC. */
  dueAt: number
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
 * Takes the mail of a job, for as long as the transaction of `client` lasts; where that dies, the database lets go of it.
 * `wasHandedOver`: its last line was about to go, and it never came to be known whether the server took it.
 * @returns in words where there is nothing to take: it has its fate, or another job; or another sender has it in hand.
 */
export async function claimMail(
  client: pg.PoolClient,
  { id, personId, occasion }: DigestKey & { id: string },
): Promise<(ClaimedMail & { wasHandedOver: boolean }) | 'ended' | 'in hand'> {
  const waiting = `from digest_mail mail
     where person_id = $1 and occasion = $2 and job_id = $3 and state = 'waiting'`
  const { rows } = await client.query<{ dueAt: Date; wasHandedOver: boolean }>(
    `select due_at as "dueAt", exists (
       select from digest_handover begun where begun.person_id = mail.person_id and begun.occasion = mail.occasion
     ) as "wasHandedOver" ${waiting} for update skip locked`,
    [personId, occasion, id],
  )
  const [row] = rows
  if (row) return { personId, occasion, wasHandedOver: row.wasHandedOver, dueAt: row.dueAt.getTime() }
  const { rowCount } = await client.query(`select ${waiting}`, [personId, occasion, id])
  return rowCount === 1 ? 'in hand' : 'ended'
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

/** What became of a mail; where it was composed, also as what. */
export interface MailEnd {
  state: Exclude<DigestState, 'carried'>
  said: string | null
  mail?: ComposedMail | null
}

/**
 * Keeps what became of a claimed mail, in the transaction that claimed it, and how it read at this try alone: what an earlier
 * one would have said may be its reader's to see no more.
 */
export async function endMail(
  client: pg.PoolClient,
  key: DigestKey,
  end: MailEnd,
  now: number,
): Promise<void> {
  const { state, said, mail } = end
  await client.query(
    `update digest_mail set state = $3, said = $4, tries = tries + 1,
       ended_at = case when $3 = 'waiting' then null else $5::timestamptz end,
       address = $6, message_id = $7, subject = $8, body_text = $9, body_html = $10, named = $11
     where person_id = $1 and occasion = $2`,
    [
      key.personId,
      key.occasion,
      state,
      said,
      new Date(now),
      mail?.address,
      mail?.messageId,
      mail?.subject,
      mail?.text,
      mail?.html,
      mail?.named ?? [],
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

/** Takes that back, where the server has said that it did not take the mail, or a person has it sent once more. */
export async function takeBackHandover(client: pg.PoolClient, key: DigestKey): Promise<void> {
  await client.query('delete from digest_handover where person_id = $1 and occasion = $2', [
    key.personId,
    key.occasion,
  ])
}

/** What the last weekly mail of a person before an instant named, and when it ended; null where there was none, or not for long. */
export async function lastNamed(
  db: pg.Pool | pg.PoolClient,
  personId: string,
  before: number,
): Promise<{ at: number; named: string[] } | null> {
  const { rows } = await db.query<{ at: Date; named: string[] }>(
    `select ended_at as at, named from digest_mail
     where person_id = $1 and due_at < $2 and state in ('sent', 'written', 'uncertain')
       and emptied_at is null and occasion ~ '^[0-9]{4}-W'
     order by due_at desc limit 1`,
    [personId, new Date(before)],
  )
  const [row] = rows
  return row ? { at: row.at.getTime(), named: row.named } : null
}

/** What a mail is about: its own occasion first, then those that are part of it, with since when each is due (ms UTC). */
export async function occasionsOf(
  door: pg.Pool,
  { personId, occasion, dueAt }: ClaimedMail,
): Promise<Pick<ClaimedMail, 'occasion' | 'dueAt'>[]> {
  const { rows } = await door.query<{ occasion: string; dueAt: Date }>(
    `select occasion, due_at as "dueAt" from digest_mail where person_id = $1 and part_of = $2 order by occasion`,
    [personId, occasion],
  )
  return [{ occasion, dueAt }, ...rows.map((row) => ({ ...row, dueAt: row.dueAt.getTime() }))]
}

/** Of some occasions, for whom else a person is told: names by occasion. */
export async function carriedNames(
  door: pg.Pool,
  personId: string,
  occasions: readonly string[],
): Promise<Map<string, string[]>> {
  const { rows } = await door.query<{ occasion: string; names: string[] }>(
    `select occasion, array_agg(name order by name) as names from digest_mail join person on person.id = person_id
     where carried_by = $1 and occasion = any($2) group by occasion`,
    [personId, occasions],
  )
  return new Map(rows.map(({ occasion, names }) => [occasion, names]))
}
