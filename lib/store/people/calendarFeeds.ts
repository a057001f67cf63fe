import { createHash } from 'node:crypto'
import type pg from 'pg'
import { z } from 'zod'
import type { FeedEntry } from '@/lib/judgement/feedEntries'
import type { StampedEntry } from '@/lib/judgement/renderCalendar'
import { PLANT_ROLES } from '@/lib/policy/personRoles'
import { getRegister } from '../ledger/currentRegister'
import { type Actor, appendToAuditLog } from '../scope/audit'
import { withScope } from '../scope/scope'
import { command, statement } from '../scope/statement'
import { withTransaction } from '../scope/transaction'

/** Calendar addresses that a person may have for one plant: each is a secret to look after. */
export const MAX_FEEDS = 10

const LOCK_PERSON = command('select from person where id = $1 for update')
const COUNT = statement(
  z.object({ count: z.number() }),
  `select count(*)::int as count from calendar_feed
   where person_id = $1 and plant = $2 and revoked_at is null`,
)
const INSERT = command(
  'insert into calendar_feed (id, plant, hash, person_id, made_at) values ($1, $2, $3, $4, $5)',
)

/**
 * Creates a feed and records it; `hash` is the SHA-256 of its secret.
 * @returns false, with nothing created, if the person already has `MAX_FEEDS` for that plant.
 */
export async function insertFeed(
  authPool: pg.Pool,
  feed: { id: string; plant: string; hash: Buffer; personId: string },
  actor: Actor,
  now: number,
): Promise<boolean> {
  return withTransaction(authPool, async (client) => {
    await LOCK_PERSON.run(client, [feed.personId])
    const { count } = await COUNT.one(client, [feed.personId, feed.plant])
    if (count >= MAX_FEEDS) return false
    await INSERT.run(client, [feed.id, feed.plant, feed.hash, feed.personId, new Date(now)])
    const line = { what: 'made a calendar’s address', subject: feed.plant, after: { id: feed.id } }
    await appendToAuditLog(client, actor, [line], now)
    return true
  })
}

/** SQL condition: the feed's person has not left, and has one of the roles in $2 for all plants or for the feed's. */
const IS_WORKING = `(person.left_at is null and exists (
  select from person_role r where r.person_id = feed.person_id
    and r.role = any($2) and r.place in ('', feed.plant)))`

const storedFeed = z.object({
  id: z.string(),
  plant: z.string(),
  personId: z.string(),
  lastReadAt: z.date().nullable(),
})
const BY_HASH = statement(
  storedFeed,
  `select feed.id, feed.plant, feed.person_id as "personId", feed.last_read_at as "lastReadAt"
   from calendar_feed feed join person on person.id = feed.person_id
   where feed.hash = $1 and feed.revoked_at is null and ${IS_WORKING}`,
)
const RECORD_READ = command('update calendar_feed set last_read_at = $2 where id = $1')

/**
 * The feed whose secret has this hash; null if there is none that works. One query whatever the hash, so timing tells
 * nothing. `now` in ms UTC.
 */
export async function findFeedByHash(
  authPool: pg.Pool,
  hash: Buffer,
  now: number,
): Promise<{ id: string; plant: string; personId: string } | null> {
  const found = await BY_HASH.first(authPool, [hash, PLANT_ROLES])
  if (!found) return null
  const { lastReadAt, ...feed } = found
  if (lastReadAt === null || lastReadAt.getTime() <= now - READ_RECORD_INTERVAL_MS)
    await RECORD_READ.run(authPool, [feed.id, new Date(now)])
  return feed
}

/** Minimum interval between two notes that a feed was read, ms. */
const READ_RECORD_INTERVAL_MS = 60_000

const LIST = statement(
  storedFeed.omit({ personId: true }).extend({
    /** Name of the person who made it. */
    madeBy: z.string(),
    madeAt: z.date(),
    /** Whether that person may still see the plant; if not, the feed does not answer. */
    isWorking: z.boolean(),
  }),
  `select feed.id, feed.plant, feed.last_read_at as "lastReadAt", person.name as "madeBy", feed.made_at as "madeAt",
     ${IS_WORKING} as "isWorking"
   from calendar_feed feed join person on person.id = feed.person_id
   where feed.revoked_at is null and ($1::text[] is null or feed.plant = any($1))
   order by feed.made_at desc, feed.id`,
)

/** The feeds of these plants (null: of all) that are not revoked, newest first. */
export async function listFeeds(authPool: pg.Pool, plants: readonly string[] | null) {
  const rows = await LIST.all(authPool, [plants, PLANT_ROLES])
  return rows.map((row) => ({
    ...row,
    madeAt: row.madeAt.getTime(),
    lastReadAt: row.lastReadAt?.getTime() ?? null,
  }))
}

/** A calendar feed of what is due at a plant. Instants in ms UTC. */
export type CalendarFeed = Awaited<ReturnType<typeof listFeeds>>[number]

const REVOKE = statement(
  storedFeed.pick({ plant: true }),
  `update calendar_feed set revoked_at = $2
   where id = $1 and revoked_at is null and ($3::text[] is null or plant = any($3)) returning plant`,
)

/**
 * Revokes a feed of one of these plants (null: of any) and records it. Returns false if there is none, which another
 * plant's feed looks like too.
 */
export async function revokeFeed(
  authPool: pg.Pool,
  id: string,
  plants: readonly string[] | null,
  actor: Actor,
  now: number,
): Promise<boolean> {
  return withTransaction(authPool, async (client) => {
    const revoked = await REVOKE.first(client, [id, new Date(now), plants])
    if (!revoked) return false
    const line = { what: 'revoked a calendar’s address', subject: revoked.plant, before: { id } }
    await appendToAuditLog(client, actor, [line], now)
    return true
  })
}

/** Name and zone of a plant; null if the register does not have it. */
export function findPlantPlace(app: pg.Pool, code: string): Promise<{ name: string; zone: string } | null> {
  return withScope(app, 'all', async (client) => {
    const register = await getRegister(app, client)
    const plant = register.plants.get(code)
    return plant ? { name: plant.name, zone: register.getZone(code) as string } : null
  })
}

/** Those of these plants (null: of all) that are in the register, by name. */
export function listNamedPlants(
  app: pg.Pool,
  codes: readonly string[] | null,
): Promise<{ code: string; name: string }[]> {
  return withScope(app, 'all', async (client) => {
    const { plants } = await getRegister(app, client)
    return [...plants.values()]
      .filter(({ code }) => codes?.includes(code) ?? true)
      .map(({ code, name }) => ({ code, name }))
      .sort((a, b) => a.name.localeCompare(b.name, 'en'))
  })
}

const VERSIONS = statement(
  z.object({
    uid: z.string(),
    digest: z.instanceof(Buffer),
    sequence: z.number(),
    modifiedAt: z.date(),
  }),
  `select uid, digest, sequence, modified_at as "modifiedAt" from calendar_entry
   where plant = $1 and uid = any($2)`,
)

/** The row is compared again on write, so concurrent readers count a change once. */
const UPSERT_VERSIONS = command(
  `insert into calendar_entry as entry (plant, uid, digest, modified_at)
   select $1, uid, digest, $2 from unnest($3::text[], $4::bytea[]) as hashed (uid, digest) order by uid
   on conflict (plant, uid) do update
     set digest = excluded.digest, sequence = entry.sequence + 1,
       modified_at = greatest(excluded.modified_at, entry.modified_at)
     where entry.digest <> excluded.digest`,
)

/**
 * Versions the entries of a plant's calendar: an entry with unchanged content keeps its version, a changed one gets the
 * next. `url` is the site's own, so that two sites never share an entry. `now` in ms UTC.
 */
export async function versionEntries(
  authPool: pg.Pool,
  { plant, url }: { plant: string; url: string },
  entries: readonly FeedEntry[],
  now: number,
): Promise<StampedEntry[]> {
  const hashed = entries.map((entry) => ({
    entry,
    uid: createHash('sha256')
      .update(JSON.stringify([url, plant, entry.key]))
      .digest('hex')
      .slice(0, 40),
    digest: createHash('sha256')
      .update(JSON.stringify([entry.day, entry.summary, entry.description, entry.path]))
      .digest(),
  }))
  const uids = hashed.map(({ uid }) => uid)
  const versions = async () =>
    new Map((await VERSIONS.all(authPool, [plant, uids])).map((version) => [version.uid, version]))
  const before = await versions()
  const changed = hashed.filter(({ uid, digest }) => !before.get(uid)?.digest.equals(digest))
  if (changed.length > 0)
    await UPSERT_VERSIONS.run(authPool, [
      plant,
      new Date(now),
      changed.map(({ uid }) => uid),
      changed.map(({ digest }) => digest),
    ])
  const after = changed.length > 0 ? await versions() : before
  return hashed.map(({ entry, uid }) => {
    const version = after.get(uid)
    return { ...entry, uid, sequence: version?.sequence ?? 0, modifiedAt: Number(version?.modifiedAt ?? now) }
  })
}
