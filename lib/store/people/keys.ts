import { createHash, randomBytes } from 'node:crypto'
import type pg from 'pg'
import { z } from 'zod'
import { SIDES } from '@/lib/custody/eventKinds'
import { findSourceFault, isActiveKey } from '@/lib/policy/keyOwner'
import { findRightsFault, type KeyFault, type KeyRights } from '@/lib/policy/keyRights'
import type { ApiKey } from '@/lib/policy/principal'
import { type Actor, appendToAuditLog } from '../scope/audit'
import { command, statement } from '../scope/statement'
import { type Queryable, withTransaction } from '../scope/transaction'

/** A row of `api_key`. Plain SQL, since Prisma cannot tell NULL (everything) from an empty list (nothing). */
const storedKey = z.object({
  id: z.string(),
  name: z.string(),
  sources: z.array(z.string()),
  sides: z.array(z.enum(SIDES)),
  kinds: z.array(z.string()).nullable(),
  plants: z.array(z.string()).nullable(),
  laboratories: z.array(z.string()).nullable(),
  mayImportHistory: z.boolean(),
  maySetRegister: z.boolean(),
  mustSign: z.boolean(),
  expiresAt: z.date().nullable(),
  lastUsedAt: z.date().nullable(),
  revokedAt: z.date().nullable(),
  narrowedAt: z.date().nullable(),
})
type StoredKey = z.infer<typeof storedKey>

const STORED = `k.id, k.name, sources, sides, kinds, plants, laboratories, may_import_history as "mayImportHistory",
  may_set_register as "maySetRegister", must_sign as "mustSign", expires_at as "expiresAt", last_used_at as "lastUsedAt",
  revoked_at as "revokedAt", narrowed_at as "narrowedAt"`

/** Keys are made one at a time, so that two for one source cannot miss each other. */
const LOCK = command(`select pg_advisory_xact_lock(hashtext('holdfast keys'))`)

const INSERT = command(
  `insert into api_key (id, name, hash, sources, kinds, plants, laboratories, may_import_history,
     may_set_register, must_sign, created_at, created_by, expires_at, sides)
   values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14)`,
)

/** A key that was made, with its secret; or why it was not. */
export type MadeKey = { fault: null; id: string; secret: string } | { fault: KeyFault }

/** Makes a key, unless there is a fault in its rights. Its secret is returned only here. `now` in ms UTC. */
export async function makeKey(
  authPool: pg.Pool,
  rights: KeyRights,
  actor: Actor,
  now: number,
): Promise<MadeKey> {
  const id = randomBytes(9).toString('base64url')
  const secret = newSecret()
  const { name, sources, kinds, plants, laboratories, mayImportHistory, maySetRegister, mustSign } = rights
  return withTransaction(authPool, async (client) => {
    await LOCK.run(client)
    const fault = await findKeyFault(client, rights, now)
    if (fault) return { fault }
    await INSERT.run(client, [
      id,
      name,
      hashSecret(secret),
      sources,
      kinds,
      plants,
      laboratories,
      mayImportHistory,
      maySetRegister,
      mustSign,
      new Date(now),
      actor.who,
      rights.expiresAt === null ? null : new Date(rights.expiresAt),
      rights.sides,
    ])
    await appendToAuditLog(client, actor, [{ what: 'made a key', subject: id, after: rights }], now)
    return { fault: null, id, secret }
  })
}

const BY_SOURCE = statement(
  storedKey,
  `select ${STORED} from api_key k where sources && $1 order by k.created_at, k.id`,
)

/** Why a key with these rights cannot be made at `now` (ms UTC), beside the keys that there are; null if it can. */
export async function findKeyFault(
  authPool: Queryable,
  rights: KeyRights,
  now: number,
): Promise<KeyFault | null> {
  const fault = findRightsFault(rights)
  if (fault) return fault
  const others = await BY_SOURCE.all(authPool, [rights.sources])
  return findSourceFault(rights, others.map(toListed), now)
}

const LIST = statement(
  storedKey.extend({ createdAt: z.date(), createdBy: z.string() }),
  `select ${STORED}, k.created_at as "createdAt", coalesce(p.name, k.created_by) as "createdBy"
   from api_key k left join person p on k.created_by = 'person ' || p.id
   order by k.revoked_at is not null, k.created_at desc, k.id`,
)

/**
 * All keys: active and expired ones first, then revoked ones, newest first; times in ms UTC. `createdBy` is a name, or
 * "command".
 */
export async function listKeys(authPool: pg.Pool) {
  const rows = await LIST.all(authPool)
  return rows.map((row) => ({
    ...toListed(row),
    createdAt: row.createdAt.getTime(),
    createdBy: row.createdBy,
  }))
}

/** A key as the page of API keys lists it. */
export type ListedKey = Awaited<ReturnType<typeof listKeys>>[number]

function toListed(row: StoredKey) {
  return {
    ...row,
    expiresAt: row.expiresAt?.getTime() ?? null,
    lastUsedAt: row.lastUsedAt?.getTime() ?? null,
    revokedAt: row.revokedAt?.getTime() ?? null,
    narrowedAt: row.narrowedAt?.getTime() ?? null,
  }
}

const REVOKE = statement(
  storedKey.pick({ name: true }),
  'update api_key set revoked_at = $2 where id = $1 and revoked_at is null returning name',
)

/**
 * Revokes a key at once and records it; requests already being answered finish. Returns whether there was one to
 * revoke.
 */
export async function revokeKey(authPool: pg.Pool, id: string, actor: Actor, now: number): Promise<boolean> {
  return withTransaction(authPool, async (client) => {
    const revoked = await REVOKE.first(client, [id, new Date(now)])
    if (!revoked) return false
    await appendToAuditLog(client, actor, [{ what: 'revoked a key', subject: id, before: revoked }], now)
    return true
  })
}

const BY_SECRET = statement(storedKey, `select ${STORED} from api_key k where hash = $1`)

/**
 * The key of a secret at `now` (ms UTC); null if it is unknown, expired or revoked, or has to sign. Every secret is
 * hashed and looked up once, so timing tells nothing.
 */
export async function findKeyBySecret(
  authPool: pg.Pool,
  secret: string,
  now: number,
): Promise<ApiKey | null> {
  const row = await BY_SECRET.first(authPool, [hashSecret(secret)])
  if (!row || row.mustSign || !isActive(row, now)) return null
  await recordUse(authPool, row, now)
  return toKey(row)
}

const BY_ID = statement(
  storedKey.extend({ hash: z.instanceof(Buffer) }),
  `select ${STORED}, hash from api_key k where id = $1`,
)

/**
 * A key that has to sign by its id, with its HMAC key; null if there is none, or it is not active at `now` (ms UTC). A key
 * that sends its secret may not sign: its hash, which every backup holds, would do as well as the secret.
 */
export async function findSigningKey(
  authPool: pg.Pool,
  id: string,
  now: number,
): Promise<{ key: ApiKey; hash: Buffer; noteUse: () => Promise<void> } | null> {
  const row = await BY_ID.first(authPool, [id])
  if (!row?.mustSign || !isActive(row, now)) return null
  const { hash, ...stored } = row
  return { key: toKey(stored), hash, noteUse: () => recordUse(authPool, row, now) }
}

function isActive(row: StoredKey, now: number): boolean {
  return isActiveKey(toListed(row), now)
}

function toKey({ mustSign, expiresAt, lastUsedAt, revokedAt, narrowedAt, ...key }: StoredKey): ApiKey {
  return { kind: 'key', ...key }
}

/** Minimum interval between two notes of a key's last use, ms. */
const USE_RECORD_INTERVAL_MS = 60_000

const RECORD_USE = command(
  'update api_key set last_used_at = $2 where id = $1 and (last_used_at is null or last_used_at <= $3)',
)

async function recordUse(authPool: pg.Pool, { id, lastUsedAt }: StoredKey, now: number): Promise<void> {
  if (lastUsedAt !== null && lastUsedAt.getTime() > now - USE_RECORD_INTERVAL_MS) return
  await RECORD_USE.run(authPool, [id, new Date(now), new Date(now - USE_RECORD_INTERVAL_MS)])
}

/** Makes a secret recognisable in a log or a repository. */
const PREFIX = 'hfk_'

/** 32 random bytes. The secret is shown once; only its hash is stored. */
function newSecret(): string {
  return PREFIX + randomBytes(32).toString('base64url')
}

/**
 * SHA-256 of a secret, by which it is looked up. A secret has 256 random bits, so a slow hash would add delay and no
 * safety.
 */
export function hashSecret(secret: string): Buffer {
  return createHash('sha256').update(secret, 'utf8').digest()
}
