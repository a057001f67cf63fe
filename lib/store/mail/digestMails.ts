import type pg from 'pg'
import { z } from 'zod'
import { DAY } from '@/lib/hold/zone'
import { command, statement } from '../scope/statement'

/** The state of a mail. `waiting`: to be sent; `carried`: part of another mail; the rest are final. */
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

/** The key of a mail: one for each person and ISO week, or alert. */
export const digestKey = z.object({
  personId: z.string(),
  /** An ISO week, like 2026-W48; for an alert its kind and sample. */
  occasion: z.string(),
})
export type DigestKey = z.infer<typeof digestKey>

/** A mail that a sender has locked. */
export interface ClaimedMail extends DigestKey {
  /** ms UTC. */
  dueAt: number
}

export function formatMailKey({ personId, occasion }: DigestKey): string {
  return `${personId} ${occasion}`
}

const KNOWN = statement(
  digestKey,
  `select person_id as "personId", occasion from digest_mail
   where (person_id, occasion) in (select * from unnest($1::text[], $2::text[]))`,
)

/** Those of `due` that have a row, by `formatMailKey`. */
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
  z.object({ dueAt: z.date(), lastPartDueAt: z.date().nullable(), wasHandedOver: z.boolean() }),
  `select due_at as "dueAt", (select max(due_at) from digest_mail part
     where part.person_id = mail.person_id and part.part_of = mail.occasion) as "lastPartDueAt", exists (
     select from digest_handover begun where begun.person_id = mail.person_id and begun.occasion = mail.occasion
   ) as "wasHandedOver" ${WAITING} for update skip locked`,
)

/**
 * Locks the mail of a job for the transaction of `client`. `lastPartDueAt`: when the last of its parts is due, ms UTC; null
 * without parts. `wasHandedOver`: an earlier sender died while it gave the mail to the server, so nobody knows whether it arrived.
 * @returns `ended` if the mail has its final state or another job, `in hand` if another sender has locked it.
 */
export async function claimMail(
  client: pg.PoolClient,
  { id, personId, occasion }: DigestKey & { id: string },
): Promise<(ClaimedMail & { lastPartDueAt: number | null; wasHandedOver: boolean }) | 'ended' | 'in hand'> {
  const row = await CLAIM.first(client, [personId, occasion, id])
  if (row) {
    const lastPartDueAt = row.lastPartDueAt?.getTime() ?? null
    return { personId, occasion, wasHandedOver: row.wasHandedOver, dueAt: row.dueAt.getTime(), lastPartDueAt }
  }
  return (await WAITS.run(client, [personId, occasion, id])) === 1 ? 'in hand' : 'ended'
}

export interface ComposedMail {
  address: string
  messageId: string
  subject: string
  text: string
  html: string
  /** Keys of the overdue things that it names. */
  named: readonly string[]
}

/** The result of a try to send a mail, and the mail if it was composed. */
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
 * Saves the result of a claimed mail in the transaction that claimed it. The text is of this try only: the reader may no
 * longer be allowed to see what an earlier one said.
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
  `insert into digest_handover (person_id, occasion, attempt, begun_at) values ($1, $2, $3, $4)
   on conflict do nothing`,
)

/**
 * Commits that the last line of a mail is about to go to the mail server. `attempt` (a UUID) names this try.
 * @returns false if another sender did so before: then it must not go.
 * @throws Error if the database fails; it may have been committed nevertheless.
 */
export async function beginHandover(
  authPool: pg.Pool,
  key: DigestKey,
  attempt: string,
  now: number,
): Promise<boolean> {
  return (await BEGIN_HANDOVER.run(authPool, [key.personId, key.occasion, attempt, new Date(now)])) === 1
}

const UNDO_HANDOVER = command(
  'delete from digest_handover where person_id = $1 and occasion = $2 and attempt = $3',
)

/**
 * Undoes what a try has committed, since the mail server does not have the mail. That of another try stays. If the connection
 * is broken, it is tried once more on another one.
 */
export async function undoHandover(authPool: pg.Pool, key: DigestKey, attempt: string): Promise<void> {
  const undo = () => UNDO_HANDOVER.run(authPool, [key.personId, key.occasion, attempt])
  await undo().catch(undo)
}

const FORGET_HANDOVER = command('delete from digest_handover where person_id = $1 and occasion = $2')

/** Forgets that a mail may have gone, when an administrator resends it. */
export async function forgetHandover(client: pg.PoolClient, key: DigestKey): Promise<void> {
  await FORGET_HANDOVER.run(client, [key.personId, key.occasion])
}

const LAST_OVERDUE_KEYS = statement(
  z.object({ at: z.date(), named: z.array(z.string()) }),
  `select ended_at as at, named from digest_mail
   where person_id = $1 and due_at < $2 and state in ('sent', 'written', 'uncertain')
     and emptied_at is null and occasion ~ '^[0-9]{4}-W'
   order by due_at desc limit 1`,
)

/** The overdue keys of a person's last weekly mail before an instant, and when it was sent; null if there is none, or its text was redacted. */
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

/** The occasions of a mail, its own first, and since when each is due (ms UTC). */
export async function listOccasions(
  authPool: pg.Pool,
  { personId, occasion, dueAt }: ClaimedMail,
): Promise<Pick<ClaimedMail, 'occasion' | 'dueAt'>[]> {
  const parts = await PARTS.all(authPool, [personId, occasion])
  return [{ occasion, dueAt }, ...parts.map((row) => ({ ...row, dueAt: row.dueAt.getTime() }))]
}

const SEPARATE = command(
  `update digest_mail set part_of = null, state = 'waiting' where person_id = $1 and part_of = $2`,
)

/** Makes each part of a waiting mail a mail of its own. */
export async function separateParts(client: pg.PoolClient, key: DigestKey): Promise<void> {
  await SEPARATE.run(client, [key.personId, key.occasion])
}

const CARRIED_NAMES = statement(
  z.object({ occasion: z.string(), names: z.array(z.string()) }),
  `select occasion, array_agg(name order by name) as names from digest_mail join person on person.id = person_id
   where carried_by = $1 and occasion = any($2) group by occasion`,
)

/** The names of those whose alerts go with a person's mail, by occasion. */
export async function listCarriedNames(
  authPool: pg.Pool,
  personId: string,
  occasions: readonly string[],
): Promise<Map<string, string[]>> {
  const rows = await CARRIED_NAMES.all(authPool, [personId, occasions])
  return new Map(rows.map(({ occasion, names }) => [occasion, names]))
}

/** Half a year after its end the text of a mail is redacted, ms. Chosen, no source. */
export const MAIL_RETENTION_MS = 26 * 7 * DAY

/** A thousand at a time, so that a poll stays short; the next poll goes on. */
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
 * Redacts the text, the address and the mail server's words of old mails. Person, occasion and state stay, so that no mail goes
 * twice. `client` works as `holdfast_door`; `now` in ms UTC. @returns the number of mails.
 */
export function redactOldMails(client: pg.PoolClient, now: number): Promise<number> {
  return REDACT_OLD.run(client, [new Date(now), new Date(now - MAIL_RETENTION_MS)])
}
