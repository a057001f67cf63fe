import type pg from 'pg'
import type { Key } from '@/lib/policy/principal'
import { hashOfSecret } from './keySecret'
import { type KeyRow, rightsOfRow } from './keys'

/** How often, at most, the last use of a key is written down, ms. */
const USE_NOTED_EVERY = 60_000

/**
 * The key of a secret at `now` (ms UTC); null where there is none, it has expired or was revoked, or it has to sign.
 * Whatever the secret is, it is hashed and looked up once: how long that takes says nothing of it.
 */
export async function keyOfSecret(door: pg.Pool, secret: string, now: number): Promise<Key | null> {
  const { rows } = await door.query<KeyRow>('select * from api_key where hash = $1', [hashOfSecret(secret)])
  const row = rows[0]
  if (!row || row.must_sign || !isWorthSomething(row, now)) return null
  await noteUse(door, row, now)
  return keyOfRow(row)
}

/** A key by its id, with the hash that it signs by; null where it is worth nothing at `now` (ms UTC). */
export async function signingKey(
  door: pg.Pool,
  id: string,
  now: number,
): Promise<{ key: Key; hash: Buffer; noteUse: () => Promise<void> } | null> {
  const { rows } = await door.query<KeyRow>('select * from api_key where id = $1', [id])
  const row = rows[0]
  if (!row || !isWorthSomething(row, now)) return null
  return { key: keyOfRow(row), hash: row.hash, noteUse: () => noteUse(door, row, now) }
}

function isWorthSomething(row: KeyRow, now: number): boolean {
  return row.revoked_at === null && (row.expires_at === null || row.expires_at.getTime() > now)
}

function keyOfRow(row: KeyRow): Key {
  const { mustSign, expiresAt, ...rights } = rightsOfRow(row)
  return { kind: 'key', id: row.id, ...rights }
}

async function noteUse(door: pg.Pool, { id, last_used_at }: KeyRow, now: number): Promise<void> {
  if (last_used_at !== null && last_used_at.getTime() > now - USE_NOTED_EVERY) return
  await door.query(
    'update api_key set last_used_at = $2 where id = $1 and (last_used_at is null or last_used_at <= $3)',
    [id, new Date(now), new Date(now - USE_NOTED_EVERY)],
  )
}
