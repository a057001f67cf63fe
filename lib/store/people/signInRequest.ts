import { createHash, createHmac, randomBytes, randomInt } from 'node:crypto'
import type pg from 'pg'
import { record } from '../scope/audit'
import { inTransaction } from '../scope/transaction'
import { canonicalEmail } from './people'

/** How long a mailed link and its code work. */
export const REQUEST_MINUTES = 15
/** Wrong codes that a request bears. */
export const CODE_TRIES = 5
/** Mails that may be asked for in a quarter of an hour, for one address and from one source. */
export const MOST_ASKED = { address: 5, source: 20 }

const WINDOW_MS = 15 * 60_000
const KEPT_MS = 24 * 3_600_000
const CODE_DIGITS = 8

/** What works with the tables of people, and what codes are keyed with. */
export interface Door {
  door: pg.Pool
  secret: string
}

/** A link and a code that were made for someone. */
export interface MadeRequest {
  /** For the browser that asked, and for nobody else. */
  id: string
  /** What is in the link. */
  token: string
  code: string
  /** Whom to mail them to; null where nobody who may sign in has the address. */
  person: { id: string; email: string; name: string } | null
}

/** What came of asking for a mail: too often asked, in seconds until it may be asked again. */
export type AskedFor = MadeRequest | { waitSeconds: number }

/**
 * Makes a link and a code for an address. The same is done for one that nobody has. `source` is the network address
 * of who asks, `wanted` a local path to go to afterwards, `now` in ms UTC.
 */
export async function askForLink(
  { door, secret }: Door,
  asked: { email: string; source: string; wanted: string | null },
  now: number,
): Promise<AskedFor> {
  const email = canonicalEmail(asked.email)
  const address = keyed(secret, 'address', email)
  return inTransaction(door, async (client) => {
    await client.query(
      'select pg_advisory_xact_lock(hashtextextended($1, 4)), pg_advisory_xact_lock(hashtextextended($2, 5))',
      [address.toString('hex'), asked.source],
    )
    await client.query('delete from sign_in_request where asked_at < $1', [new Date(now - KEPT_MS)])
    const waitSeconds = await waitFor(client, address, asked.source, now)
    if (waitSeconds > 0) return { waitSeconds }
    const { rows } = await client.query<NonNullable<MadeRequest['person']>>(
      'select id, email, name from person where email = $1 and left_at is null',
      [email],
    )
    return insert(
      client,
      secret,
      { address, source: asked.source, wanted: asked.wanted, person: rows[0] ?? null },
      now,
    )
  })
}

/** Makes a link for a person, asked for on the machine itself. `now` in ms UTC. */
export async function makeLink(
  { door, secret }: Door,
  person: { id: string; email: string; name: string },
  now: number,
): Promise<MadeRequest> {
  const address = keyed(secret, 'address', person.email)
  return inTransaction(door, (client) =>
    insert(client, secret, { address, source: 'command', wanted: null, person }, now),
  )
}

/** Whom a link or a code signs in, and where they wanted to go. */
export interface Admitted {
  personId: string
  wanted: string | null
}

/** Uses a link up. Null where it was used already, is too old, or is none. `now` in ms UTC. */
export async function spendLink({ door }: Door, token: string, now: number): Promise<Admitted | null> {
  const { rows } = await door.query<Admitted>(
    `update sign_in_request set used_at = $2
     where link_digest = $1 and used_at is null and expires_at > $2 and person_id is not null
     returning person_id as "personId", wanted`,
    [linkDigest(token), new Date(now)],
  )
  return rows[0] ?? null
}

/**
 * Tries a code on the request of this browser, and uses it up if it is right. A wrong one says how many tries are
 * left; null where the request was used already, is too old, has no tries left, or is none. `now` in ms UTC.
 */
export async function tryCode(
  { door, secret }: Door,
  tried: { id: string; code: string; source: string },
  now: number,
): Promise<Admitted | { triesLeft: number } | null> {
  const digest = keyed(secret, tried.id, tried.code.replace(/\D/g, ''))
  return inTransaction(door, async (client) => {
    const { rows } = await client.query<{
      personId: string | null
      wanted: string | null
      triesLeft: number
      isRight: boolean
    }>(
      `update sign_in_request set tries_left = tries_left - 1,
         used_at = case when code_digest = $2 and person_id is not null then $3::timestamptz end
       where id = $1 and used_at is null and expires_at > $3 and tries_left > 0
       returning person_id as "personId", wanted, tries_left as "triesLeft", used_at is not null as "isRight"`,
      [tried.id, digest, new Date(now)],
    )
    const row = rows[0]
    if (!row) return null
    const { personId, wanted, triesLeft, isRight } = row
    if (isRight && personId) return { personId, wanted }
    const nobody = { who: 'nobody', name: '', address: tried.source || null }
    const line = { what: 'signed in', subject: personId, after: { by: 'code' }, outcome: 'refused' as const }
    await record(client, nobody, [line], now)
    return { triesLeft }
  })
}

/** Seconds until an address may be mailed, and a source may ask, again; 0 where they may now. */
async function waitFor(client: pg.PoolClient, address: Buffer, source: string, now: number): Promise<number> {
  const { rows } = await client.query<{ freeAt: Date | null }>(
    `select greatest(
       (select asked_at from sign_in_request where address_digest = $1 and asked_at > $3 order by asked_at desc offset $4 limit 1),
       (select asked_at from sign_in_request where source = $2 and asked_at > $3 order by asked_at desc offset $5 limit 1)
     ) as "freeAt"`,
    [address, source, new Date(now - WINDOW_MS), MOST_ASKED.address - 1, MOST_ASKED.source - 1],
  )
  const freeAt = rows[0]?.freeAt
  return freeAt ? Math.max(1, Math.ceil((freeAt.getTime() + WINDOW_MS - now) / 1000)) : 0
}

async function insert(
  client: pg.PoolClient,
  secret: string,
  request: { address: Buffer; source: string; wanted: string | null; person: MadeRequest['person'] },
  now: number,
): Promise<MadeRequest> {
  const [id, token] = [randomBytes(24).toString('base64url'), randomBytes(32).toString('base64url')]
  const code = String(randomInt(10 ** CODE_DIGITS)).padStart(CODE_DIGITS, '0')
  const { address, source, wanted, person } = request
  await client.query(
    `insert into sign_in_request (id, person_id, address_digest, source, link_digest, code_digest, tries_left, wanted,
       asked_at, expires_at)
     values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
    [
      id,
      person?.id ?? null,
      address,
      source,
      linkDigest(token),
      keyed(secret, id, code),
      CODE_TRIES,
      wanted,
      new Date(now),
      new Date(now + REQUEST_MINUTES * 60_000),
    ],
  )
  return { id, token, code, person }
}

function linkDigest(token: string): Buffer {
  return createHash('sha256').update(token).digest()
}

/** Short things are kept as digests that only who has the secret can make, or all of them could be tried. */
function keyed(secret: string, what: string, text: string): Buffer {
  return createHmac('sha256', secret).update(`${what}\n${text}`).digest()
}
