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

/** So many addresses of one plant's calendar a person may have at a time: each is a secret to look after. */
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
 * Makes one for a person and records it; `hash` is the SHA-256 of its secret. @returns false, and makes none, where
 * they have `MAX_FEEDS` of that plant.
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

/** Whether the person of a feed still has to do with all plants or with its own, by the roles of $2, and has not left. */
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

/** The plant of the feed whose secret has this hash; null where there is none that works. One query, whatever the hash. */
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

/** How often, at most, it is written down that a feed was read, ms. */
const READ_RECORD_INTERVAL_MS = 60_000

const LIST = statement(
  storedFeed.omit({ personId: true }).extend({
    /** The name of who made it. */
    madeBy: z.string(),
    madeAt: z.date(),
    /** Whoever made it may still see the plant; else it is worth nothing. */
    isWorking: z.boolean(),
  }),
  `select feed.id, feed.plant, feed.last_read_at as "lastReadAt", person.name as "madeBy", feed.made_at as "madeAt",
     ${IS_WORKING} as "isWorking"
   from calendar_feed feed join person on person.id = feed.person_id
   where feed.revoked_at is null and ($1::text[] is null or feed.plant = any($1))
   order by feed.made_at desc, feed.id`,
)

/** The feeds of plants that were not revoked, the newest first; null: of all plants. */
export async function listFeeds(authPool: pg.Pool, plants: readonly string[] | null) {
  const rows = await LIST.all(authPool, [plants, PLANT_ROLES])
  return rows.map((row) => ({
    ...row,
    madeAt: row.madeAt.getTime(),
    lastReadAt: row.lastReadAt?.getTime() ?? null,
  }))
}

/** An address under which what is due at a plant can be read as a calendar. Instants in ms UTC. */
export type CalendarFeed = Awaited<ReturnType<typeof listFeeds>>[number]

const REVOKE = statement(
  storedFeed.pick({ plant: true }),
  `update calendar_feed set revoked_at = $2
   where id = $1 and revoked_at is null and ($3::text[] is null or plant = any($3)) returning plant`,
)

/**
 * Revokes a feed of one of these plants (null: of any) at once and records it. Says whether there was one: for another
 * plant's as for none.
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

/** The name and the zone of a plant, by the register; null where it has none of this code. */
export function findPlantPlace(app: pg.Pool, code: string): Promise<{ name: string; zone: string } | null> {
  return withScope(app, 'all', async (client) => {
    const register = await getRegister(app, client)
    const plant = register.plants.get(code)
    return plant ? { name: plant.name, zone: register.getZone(code) as string } : null
  })
}

/** Of these plants (null: of all) those that the register has, by name. */
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

/** Of several that ask at once each change counts once: the row is compared again when it is written. */
const UPSERT_VERSIONS = command(
  `insert into calendar_entry as entry (plant, uid, digest, modified_at)
   select $1, uid, digest, $2 from unnest($3::text[], $4::bytea[]) as said (uid, digest) order by uid
   on conflict (plant, uid) do update
     set digest = excluded.digest, sequence = entry.sequence + 1,
       modified_at = greatest(excluded.modified_at, entry.modified_at)
     where entry.digest <> excluded.digest`,
)

/**
 * Entries of a plant's calendar with their versions: one that says what it said when it was last asked for is the same
 * version, and one that says something else the next. `url` is the site's own, so that two sites share no entry.
 * `now` in ms UTC.
 */
export async function versionEntries(
  authPool: pg.Pool,
  { plant, url }: { plant: string; url: string },
  entries: readonly FeedEntry[],
  now: number,
): Promise<StampedEntry[]> {
  const said = entries.map((entry) => ({
    entry,
    uid: createHash('sha256')
      .update(JSON.stringify([url, plant, entry.key]))
      .digest('hex')
      .slice(0, 40),
    digest: createHash('sha256')
      .update(JSON.stringify([entry.day, entry.summary, entry.description, entry.path]))
      .digest(),
  }))
  const uids = said.map(({ uid }) => uid)
  const versions = async () =>
    new Map((await VERSIONS.all(authPool, [plant, uids])).map((version) => [version.uid, version]))
  const before = await versions()
  const changed = said.filter(({ uid, digest }) => !before.get(uid)?.digest.equals(digest))
  if (changed.length > 0)
    await UPSERT_VERSIONS.run(authPool, [
      plant,
      new Date(now),
      changed.map(({ uid }) => uid),
      changed.map(({ digest }) => digest),
    ])
  const after = changed.length > 0 ? await versions() : before
  return said.map(({ entry, uid }) => {
    const version = after.get(uid)
    return { ...entry, uid, sequence: version?.sequence ?? 0, modifiedAt: Number(version?.modifiedAt ?? now) }
  })
}
