import type pg from 'pg'
import { type Actor, record } from '../scope/audit'
import { inTransaction } from '../scope/transaction'
import { type AtOnceKind, atOnceChoice, setAtOnceChoice } from './atOnceChoice'

/** What a person chose about the weekly mail, and about mails at once. */
export interface DigestPreference {
  /** BCP 47 tag by which dates are written. */
  language: string
  isWanted: boolean
  wantsQuietLine: boolean
  standInId: string | null
  /** First and last local day of the stand-in, as year-month-day. */
  standInFrom: string | null
  standInUntil: string | null
  atOnce: readonly AtOnceKind[]
  /** Stopped by a link, those of whom they stand in for too, until something is chosen again. */
  atOnceIsStopped: boolean
}

/** What holds for who chose nothing. */
export const USUAL_PREFERENCE: DigestPreference = {
  language: 'en-GB',
  isWanted: true,
  wantsQuietLine: true,
  standInId: null,
  standInFrom: null,
  standInUntil: null,
  atOnce: [],
  atOnceIsStopped: false,
}

export async function digestPreference(
  db: pg.Pool | pg.PoolClient,
  personId: string,
): Promise<DigestPreference> {
  const { rows } = await db.query<Omit<DigestPreference, 'atOnce'>>(
    `select language, is_wanted as "isWanted", wants_quiet_line as "wantsQuietLine",
       stand_in_id as "standInId", stand_in_from::text as "standInFrom", stand_in_until::text as "standInUntil",
       at_once_is_stopped as "atOnceIsStopped"
     from digest_preference where person_id = $1`,
    [personId],
  )
  return rows[0] ? { ...rows[0], atOnce: await atOnceChoice(db, personId) } : USUAL_PREFERENCE
}

/**
 * Keeps what a person chose and records it. Where they want the mail again, links that were mailed to stop it work no
 * more: who has them was told of an earlier wish. `now` in ms UTC.
 */
export async function setDigestPreference(
  door: pg.Pool,
  personId: string,
  after: Omit<DigestPreference, 'atOnceIsStopped'>,
  actor: Actor,
  now: number,
): Promise<void> {
  await inTransaction(door, async (client) => {
    await client.query('insert into digest_preference (person_id) values ($1) on conflict do nothing', [
      personId,
    ])
    await client.query('select from digest_preference where person_id = $1 for update', [personId])
    const before = await digestPreference(client, personId)
    await client.query(
      `update digest_preference set language = $2, is_wanted = $3, wants_quiet_line = $4,
         stand_in_id = $5, stand_in_from = $6, stand_in_until = $7,
         token_serial = token_serial + case when $3 and not is_wanted then 1 else 0 end,
         at_once_is_stopped = at_once_is_stopped and not $8,
         at_once_serial = at_once_serial + case when $8 and at_once_is_stopped then 1 else 0 end
       where person_id = $1`,
      [
        personId,
        after.language,
        after.isWanted,
        after.wantsQuietLine,
        after.standInId,
        after.standInFrom,
        after.standInUntil,
        after.atOnce.length > 0,
      ],
    )
    await setAtOnceChoice(client, personId, after.atOnce, now)
    await record(
      client,
      actor,
      [{ what: 'chose about the weekly mail', subject: personId, before, after }],
      now,
    )
  })
}

/** What a link to stop the mail came to: done, done before, or none that works. */
export type Stopped = 'stopped' | 'was stopped' | 'no such link'

/** Whose link it is to stop which mails, and of which serial. */
export interface DigestStop {
  personId: string
  serial: number
  list: 'weekly' | 'at once'
}

/** Stops mails of a person by a link, and records it. `now` in ms UTC. */
export async function stopDigest(
  door: pg.Pool,
  { personId, serial, list }: DigestStop,
  address: string,
  now: number,
): Promise<Stopped> {
  return inTransaction(door, async (client) => {
    const person = await client.query<{ name: string }>('select name from person where id = $1', [personId])
    const [known] = person.rows
    if (!known) return 'no such link'
    await client.query('insert into digest_preference (person_id) values ($1) on conflict do nothing', [
      personId,
    ])
    const [serialOf, isStopped] =
      list === 'weekly' ? ['token_serial', 'not is_wanted'] : ['at_once_serial', 'at_once_is_stopped']
    const { rows } = await client.query<{ serial: number; isStopped: boolean }>(
      `select ${serialOf} as serial, ${isStopped} as "isStopped" from digest_preference
       where person_id = $1 for update`,
      [personId],
    )
    const [kept] = rows
    if (kept?.serial !== serial) return 'no such link'
    if (kept.isStopped) return 'was stopped'
    if (list === 'weekly')
      await client.query('update digest_preference set is_wanted = false where person_id = $1', [personId])
    else {
      await client.query('update digest_preference set at_once_is_stopped = true where person_id = $1', [
        personId,
      ])
      await setAtOnceChoice(client, personId, [], now)
    }
    const actor = { who: `person ${personId}`, name: known.name, address }
    const what =
      list === 'weekly' ? 'stopped the weekly mail by its link' : 'stopped mails at once by their link'
    await record(client, actor, [{ what, subject: personId }], now)
    return 'stopped'
  })
}
