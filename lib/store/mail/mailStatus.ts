import type pg from 'pg'
import { z } from 'zod'
import { statement } from '../scope/statement'
import { DIGEST_STATES } from './digestMails'

const STATUS_COLUMNS = `mail.person_id as "personId", person.name, mail.occasion, part_of as "partOf", due_at as "dueAt", state,
  (select count(*)::int from digest_mail part
   where part.person_id = mail.person_id and part.part_of = mail.occasion) as more,
  carrier.name as carrier, address, subject, said, ended_at as "endedAt", emptied_at as "emptiedAt", tries`
const STATUS_TABLES = `from digest_mail mail join person on person.id = mail.person_id
  left join person carrier on carrier.id = carried_by`

const statusRow = z.object({
  personId: z.string(),
  name: z.string(),
  /** An ISO week, like 2026-W48; for an alert its kind and sample. */
  occasion: z.string(),
  /** The occasion of the mail that it is part of. */
  partOf: z.string().nullable(),
  dueAt: z.date(),
  state: z.enum(DIGEST_STATES),
  /** Number of further occasions in the mail. */
  more: z.number(),
  /** Name of the person with whose mail it went. */
  carrier: z.string().nullable(),
  address: z.string().nullable(),
  subject: z.string().nullable(),
  said: z.string().nullable(),
  endedAt: z.date().nullable(),
  /** When its text was redacted. */
  emptiedAt: z.date().nullable(),
  tries: z.number(),
})

/** Instants in ms UTC. */
function toMailStatus<Row extends z.infer<typeof statusRow>>(row: Row) {
  const at = (date: Date | null) => date?.getTime() ?? null
  return { ...row, dueAt: row.dueAt.getTime(), endedAt: at(row.endedAt), emptiedAt: at(row.emptiedAt) }
}

const NEWEST = statement(
  statusRow,
  `select ${STATUS_COLUMNS} ${STATUS_TABLES} where part_of is null and ($1::text is null or mail.person_id = $1)
     and (not $3 or mail.occasion ~ '^[0-9]{4}-W')
   order by due_at desc, person.name, mail.person_id limit $2`,
)

/**
 * The newest mails of one person or (null) of everyone, at most `most`. A mail with several occasions is listed once. Works as
 * `holdfast_door`.
 */
export async function listMails(
  authPool: pg.Pool,
  personId: string | null,
  { isWeekly, most }: { isWeekly: boolean; most: number },
) {
  const rows = await NEWEST.all(authPool, [personId, most, isWeekly])
  return rows.map(toMailStatus)
}

const ONE = statement(
  statusRow.extend({ text: z.string().nullable(), html: z.string().nullable() }),
  `select ${STATUS_COLUMNS}, body_text as text, body_html as html ${STATUS_TABLES} where mail.person_id = $1 and mail.occasion = $2`,
)

/** A mail, with its text if it was composed; null if there is no such mail. */
export async function readMail(authPool: pg.Pool, personId: string, occasion: string) {
  const row = await ONE.first(authPool, [personId, occasion])
  return row ? toMailStatus(row) : null
}

const REJECTED_ADDRESSES = statement(
  z.object({
    personId: z.string(),
    name: z.string(),
    address: z.string(),
    /** The mail server's own words. */
    said: z.string().nullable(),
    at: z.date(),
  }),
  `select person.id as "personId", name, address, said, ended_at as at
   from person left join digest_preference on digest_preference.person_id = person.id
     join lateral (select state, address, said, ended_at from digest_mail
       where digest_mail.person_id = person.id and state in ('sent', 'refused')
       order by ended_at desc limit 1) as last on true
   where left_at is null and state = 'refused' and address = coalesce(mailbox, email)
   order by name, person.id`,
)

/** People whose last mail was refused for good at their present address, by name, and when (ms UTC). */
export async function listRejectedAddresses(authPool: pg.Pool | pg.PoolClient) {
  const rows = await REJECTED_ADDRESSES.all(authPool)
  return rows.map((row) => ({ ...row, at: row.at.getTime() }))
}

/** An address that a mail server refused for good, and that was not corrected since. */
export type RejectedAddress = Awaited<ReturnType<typeof listRejectedAddresses>>[number]
