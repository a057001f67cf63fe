import { randomBytes } from 'node:crypto'
import type pg from 'pg'
import { isHandSource } from '@/lib/policy/mayRecord'
import type { Key } from '@/lib/policy/principal'
import { type Actor, record } from '../scope/audit'
import { inTransaction } from '../scope/transaction'
import { hashOfSecret, newSecret } from './keySecret'

/** What is asked for when a key is made. Times in ms UTC. */
export interface KeyRights extends Omit<Key, 'kind' | 'id'> {
  /** It sends no secret, but signs what it sends. */
  mustSign: boolean
  /** From then on it is worth nothing; null: it does not expire. */
  expiresAt: number | null
}

/** A key as the page of keys lists it. */
export interface ListedKey extends KeyRights {
  id: string
  createdAt: number
  /** The name of who made it, or "command". */
  createdBy: string
  lastUsedAt: number | null
  revokedAt: number | null
}

/** A row of `api_key`. Plain SQL, since Prisma cannot tell a list that is NULL (of everything) from an empty one (of nothing). */
export interface KeyRow {
  id: string
  name: string
  hash: Buffer
  sources: string[]
  kinds: string[] | null
  plants: string[] | null
  laboratories: string[] | null
  may_import_history: boolean
  may_set_register: boolean
  must_sign: boolean
  created_at: Date
  created_by: string
  expires_at: Date | null
  last_used_at: Date | null
  revoked_at: Date | null
}

/** Makes a key, and gives its secret this once. Errors: RangeError for rights that contradict each other. */
export async function makeKey(
  door: pg.Pool,
  rights: KeyRights,
  actor: Actor,
  now: number,
): Promise<{ id: string; secret: string }> {
  const fault = rightsFault(rights)
  if (fault) throw new RangeError(fault.detail)
  const id = randomBytes(9).toString('base64url')
  const secret = newSecret()
  const { name, sources, kinds, plants, laboratories, mayImportHistory, maySetRegister, mustSign } = rights
  await inTransaction(door, async (client) => {
    await client.query(
      `insert into api_key (id, name, hash, sources, kinds, plants, laboratories, may_import_history,
         may_set_register, must_sign, created_at, created_by, expires_at)
       values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)`,
      [
        id,
        name,
        hashOfSecret(secret),
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
      ],
    )
    await record(client, actor, [{ what: 'made a key', subject: id, after: rights }], now)
  })
  return { id, secret }
}

/** What keeps these rights from being given, with the field it is about; null where nothing does. */
export function rightsFault(rights: KeyRights): { field: keyof KeyRights; detail: string } | null {
  if (rights.name.trim() === '')
    return { field: 'name', detail: 'Give the key a name: what it is for, and where it is kept.' }
  if (rights.sources.length === 0)
    return { field: 'sources', detail: 'Name at least one source that the key may speak for.' }
  for (const source of rights.sources) {
    if (source.includes('/') || source.trim() !== source || source === '')
      return {
        field: 'sources',
        detail: `"${source}" cannot be a source: leave out slashes and outer blanks.`,
      }
    if (isHandSource(source))
      return {
        field: 'sources',
        detail: `"${source}" begins with "hand", which stands for people who report by hand. Name the machine otherwise.`,
      }
  }
  if (rights.maySetRegister && (rights.plants !== null || rights.laboratories !== null))
    return {
      field: 'maySetRegister',
      detail:
        'The register is sent whole, for all plants and laboratories; a key of some of them cannot send it. Make two keys.',
    }
  return null
}

/** All keys, those that work first, the newest of each first. */
export async function listKeys(door: pg.Pool): Promise<ListedKey[]> {
  const { rows } = await door.query<KeyRow & { made_by: string }>(
    `select k.*, coalesce(p.name, k.created_by) as made_by
     from api_key k left join person p on k.created_by = 'person ' || p.id
     order by k.revoked_at is not null, k.created_at desc, k.id`,
  )
  return rows.map((row) => ({
    ...rightsOfRow(row),
    id: row.id,
    createdAt: row.created_at.getTime(),
    createdBy: row.made_by,
    lastUsedAt: row.last_used_at?.getTime() ?? null,
    revokedAt: row.revoked_at?.getTime() ?? null,
  }))
}

/** Takes a key's worth at once: a request that is being answered is its last. Says whether there was one to revoke. */
export async function revokeKey(door: pg.Pool, id: string, actor: Actor, now: number): Promise<boolean> {
  return inTransaction(door, async (client) => {
    const { rows } = await client.query<{ name: string }>(
      'update api_key set revoked_at = $2 where id = $1 and revoked_at is null returning name',
      [id, new Date(now)],
    )
    const [revoked] = rows
    if (!revoked) return false
    await record(client, actor, [{ what: 'revoked a key', subject: id, before: revoked }], now)
    return true
  })
}

/** The rights that a row gives. */
export function rightsOfRow(row: KeyRow): KeyRights {
  const { name, sources, kinds, plants, laboratories } = row
  return {
    name,
    sources,
    kinds,
    plants,
    laboratories,
    mayImportHistory: row.may_import_history,
    maySetRegister: row.may_set_register,
    mustSign: row.must_sign,
    expiresAt: row.expires_at?.getTime() ?? null,
  }
}
