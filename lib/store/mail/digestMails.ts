import type pg from 'pg'
import { z } from 'zod'
import { DAY } from '@/lib/hold/zone'
import { command, statement } from '../scope/statement'

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
export const digestKey = z.object({
  personId: z.string(),
  /** An ISO week, like 2026-W48; for a mail at once what it is about. */
  occasion: z.string(),
})
export type DigestKey = z.infer<typeof digestKey>

/** A mail that a sender has in hand. */
export interface ClaimedMail extends DigestKey {
  /** ms UTC. */
  dueAt: number
}

/** A mail's key in one text. */
export function formatMailKey({ personId, occasion }: DigestKey): string {
  return `${personId} ${occasion}`
}

const KNOWN = statement(
  digestKey,
  `select person_id as "personId", occasion from digest_mail
   where (person_id, occasion) in (select * from unnest($1::text[], $2::text[]))`,
)

/** Which of those due have a row already, by `formatMailKey`. */
export async function findKnownMails(authPool: pg.Pool, due: readonly DigestKey[]): Promise<Set<string>> {
  const rows = await KNOWN.all(authPool, [
    due.map(({ personId }) => personId),
    due.map(({ occasion }) => occasion),
  ])
  return new Set(rows.map(formatMailKey))
}

const WAITING = `from digest_mail mail where person_id = $1 and occasion = $2 and job_id = $3 and state = 'waiting'`
const WAITS = command(`select ${WAITING}`)
const CLAIM = statement(
  z.object({ dueAt: z.date(), wasHandedOver: z.boolean() }),
  `select due_at as "dueAt", exists (
     select from digest_handover begun where begun.person_id = mail.person_id and begun.occasion = mail.occasion
   ) as "wasHandedOver" ${WAITING} for update skip locked`,
)

/**
 * Takes the mail of a job, for as long as the transaction of `client` lasts; where that dies, the database lets go of it.
 * `wasHandedOver`: its last line was about to go, and it never came to be known whether the server took it.
 * @returns in words where there is nothing to take: it has its fate, or another job; or another sender has it in hand.
 */
export async function claimMail(
  client: pg.PoolClient,
  { id, personId, occasion }: DigestKey & { id: string },
): Promise<(ClaimedMail & { wasHandedOver: boolean }) | 'ended' | 'in hand'> {
  const row = await CLAIM.first(client, [personId, occasion, id])
  if (row) return { personId, occasion, wasHandedOver: row.wasHandedOver, dueAt: row.dueAt.getTime() }
  return (await WAITS.run(client, [personId, occasion, id])) === 1 ? 'in hand' : 'ended'
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
export interface MailResult {
  state: Exclude<DigestState, 'carried'>
  said: string | null
  mail?: ComposedMail | null
}

const END = command(
  `update digest_mail set state = $3, said = $4, tries = tries + 1,
     ended_at = case when $3 = 'waiting' then null else $5::timestamptz end,
     address = $6, message_id = $7, subject = $8, body_text = $9, body_html = $10, named = $11
   where person_id = $1 and occasion = $2`,
)

/**
 * Keeps what became of a claimed mail, in the transaction that claimed it, and how it read at this try alone: what an earlier
 * one would have said may be its reader's to see no more.
 */
export async function saveMailResult(
  client: pg.PoolClient,
  key: DigestKey,
  end: MailResult,
  now: number,
): Promise<void> {
  const { state, said, mail } = end
  await END.run(client, [
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
  ])
}

const BEGIN_HANDOVER = command(
  'insert into digest_handover (person_id, occasion, begun_at) values ($1, $2, $3) on conflict do nothing',
)

/**
 * Says, at once and for all to see, that the last line of a mail is about to go to the mail server.
 * @returns false where another sender has said so before: then it must not go.
 */
export async function beginHandover(door: pg.Pool, key: DigestKey, now: number): Promise<boolean> {
  return (await BEGIN_HANDOVER.run(door, [key.personId, key.occasion, new Date(now)])) === 1
}

const UNDO_HANDOVER = command('delete from digest_handover where person_id = $1 and occasion = $2')

/** Takes that back, where the server has said that it did not take the mail, or a person has it sent once more. */
export async function undoHandover(client: pg.PoolClient, key: DigestKey): Promise<void> {
  await UNDO_HANDOVER.run(client, [key.personId, key.occasion])
}

const LAST_OVERDUE_KEYS = statement(
  z.object({ at: z.date(), named: z.array(z.string()) }),
  `select ended_at as at, named from digest_mail
   where person_id = $1 and due_at < $2 and state in ('sent', 'written', 'uncertain')
     and emptied_at is null and occasion ~ '^[0-9]{4}-W'
   order by due_at desc limit 1`,
)

/** What the last weekly mail of a person before an instant named, and when it ended; null where there was none, or not for long. */
export async function readLastOverdueKeys(
  db: pg.Pool | pg.PoolClient,
  personId: string,
  before: number,
): Promise<{ at: number; named: string[] } | null> {
  const row = await LAST_OVERDUE_KEYS.first(db, [personId, new Date(before)])
  return row ? { at: row.at.getTime(), named: row.named } : null
}

const PARTS = statement(
  z.object({ occasion: z.string(), dueAt: z.date() }),
  `select occasion, due_at as "dueAt" from digest_mail where person_id = $1 and part_of = $2 order by occasion`,
)

/** What a mail is about: its own occasion first, then those that are part of it, with since when each is due (ms UTC). */
export async function listOccasions(
  door: pg.Pool,
  { personId, occasion, dueAt }: ClaimedMail,
): Promise<Pick<ClaimedMail, 'occasion' | 'dueAt'>[]> {
  const parts = await PARTS.all(door, [personId, occasion])
  return [{ occasion, dueAt }, ...parts.map((row) => ({ ...row, dueAt: row.dueAt.getTime() }))]
}

const CARRIED_NAMES = statement(
  z.object({ occasion: z.string(), names: z.array(z.string()) }),
  `select occasion, array_agg(name order by name) as names from digest_mail join person on person.id = person_id
   where carried_by = $1 and occasion = any($2) group by occasion`,
)

/** Of some occasions, for whom else a person is told: names by occasion. */
export async function listCarriedNames(
  door: pg.Pool,
  personId: string,
  occasions: readonly string[],
): Promise<Map<string, string[]>> {
  const rows = await CARRIED_NAMES.all(door, [personId, occasions])
  return new Map(rows.map(({ occasion, names }) => [occasion, names]))
}

/** What a mail said is kept for so long after it came to its end, ms: half a year. Chosen, no source. */
export const MAIL_RETENTION_MS = 26 * 7 * DAY

/** A thousand at once, so that a look stays short; the next ones go on. */
const REDACT_OLD = command(
  `update digest_mail set emptied_at = $1, address = null, message_id = null, subject = null, body_text = null,
     body_html = null, named = '{}', said = null
   from (
     select person_id, occasion from digest_mail
     where emptied_at is null and ended_at < $2 and state <> 'waiting'
     order by ended_at limit 1000 for update skip locked
   ) old
   where digest_mail.person_id = old.person_id and digest_mail.occasion = old.occasion`,
)

/**
 * Lets go of what old mails said, where they went and what mail servers said of them, in the transaction of `client`,
 * which works as `holdfast_door`. Whose each was, for what, and what became of it stays, so that none ever goes twice.
 * `now` in ms UTC. @returns of how many.
 */
export function redactOldMails(client: pg.PoolClient, now: number): Promise<number> {
  return REDACT_OLD.run(client, [new Date(now), new Date(now - MAIL_RETENTION_MS)])
}
