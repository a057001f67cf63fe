import type pg from 'pg'
import { HAS_PLANTS } from '@/lib/policy/personRoles'
import { currentRegister } from '../ledger/currentRegister'
import { type Actor, record } from '../scope/audit'
import { inScope } from '../scope/scope'
import { inTransaction } from '../scope/transaction'

/** An address under which what is due at a plant can be read as a calendar. Instants in ms UTC. */
export interface CalendarFeed {
  id: string
  plant: string
  /** The name of who made it. */
  madeBy: string
  madeAt: number
  lastReadAt: number | null
  /** Whoever made it may still see the plant; else it is worth nothing. */
  isWorking: boolean
}

/** So many addresses of one plant's calendar a person may have at a time: each is a secret to look after. */
export const MOST_FEEDS = 10

/**
 * Makes one for a person and records it; `hash` is the SHA-256 of its secret. @returns false, and makes none, where
 * they have `MOST_FEEDS` of that plant.
 */
export async function enterFeed(
  door: pg.Pool,
  feed: { id: string; plant: string; hash: Buffer; personId: string },
  actor: Actor,
  now: number,
): Promise<boolean> {
  return inTransaction(door, async (client) => {
    await client.query('select from person where id = $1 for update', [feed.personId])
    const { rows } = await client.query<{ count: number }>(
      `select count(*)::int as count from calendar_feed
       where person_id = $1 and plant = $2 and revoked_at is null`,
      [feed.personId, feed.plant],
    )
    if ((rows[0]?.count ?? 0) >= MOST_FEEDS) return false
    await client.query(
      'insert into calendar_feed (id, plant, hash, person_id, made_at) values ($1, $2, $3, $4, $5)',
      [feed.id, feed.plant, feed.hash, feed.personId, new Date(now)],
    )
    const line = { what: 'made a calendar’s address', subject: feed.plant, after: { id: feed.id } }
    await record(client, actor, [line], now)
    return true
  })
}

/** Whether the person of a feed still has to do with all plants or with its own, by the roles of $2, and has not left. */
const IS_WORKING = `(person.left_at is null and exists (
  select from person_role r where r.person_id = feed.person_id
    and r.role = any($2) and r.place in ('', feed.plant)))`

/** The plant of the feed whose secret has this hash; null where there is none that works. One query, whatever the hash. */
export async function feedOfHash(
  door: pg.Pool,
  hash: Buffer,
  now: number,
): Promise<{ id: string; plant: string; personId: string } | null> {
  const { rows } = await door.query<{ id: string; plant: string; personId: string; last: Date | null }>(
    `select feed.id, feed.plant, feed.person_id as "personId", feed.last_read_at as last
     from calendar_feed feed join person on person.id = feed.person_id
     where feed.hash = $1 and feed.revoked_at is null and ${IS_WORKING}`,
    [hash, HAS_PLANTS],
  )
  const [found] = rows
  if (!found) return null
  if (found.last === null || Number(found.last) <= now - READ_NOTED_EVERY)
    await door.query('update calendar_feed set last_read_at = $2 where id = $1', [found.id, new Date(now)])
  const { id, plant, personId } = found
  return { id, plant, personId }
}

/** How often, at most, it is written down that a feed was read, ms. */
const READ_NOTED_EVERY = 60_000

/** The feeds of plants that were not revoked, the newest first; null: of all plants. */
export async function listFeeds(door: pg.Pool, plants: readonly string[] | null): Promise<CalendarFeed[]> {
  const { rows } = await door.query<
    Pick<CalendarFeed, 'id' | 'plant' | 'madeBy' | 'isWorking'> & { madeAt: Date; lastReadAt: Date | null }
  >(
    `select feed.id, feed.plant, person.name as "madeBy", feed.made_at as "madeAt",
       feed.last_read_at as "lastReadAt", ${IS_WORKING} as "isWorking"
     from calendar_feed feed join person on person.id = feed.person_id
     where feed.revoked_at is null and ($1::text[] is null or feed.plant = any($1))
     order by feed.made_at desc, feed.id`,
    [plants, HAS_PLANTS],
  )
  return rows.map((row) => ({
    ...row,
    madeAt: Number(row.madeAt),
    lastReadAt: row.lastReadAt && Number(row.lastReadAt),
  }))
}

/**
 * Revokes a feed of one of these plants (null: of any) at once and records it. Says whether there was one: for another
 * plant's as for none.
 */
export async function revokeFeed(
  door: pg.Pool,
  id: string,
  plants: readonly string[] | null,
  actor: Actor,
  now: number,
): Promise<boolean> {
  return inTransaction(door, async (client) => {
    const { rows } = await client.query<{ plant: string }>(
      `update calendar_feed set revoked_at = $2
       where id = $1 and revoked_at is null and ($3::text[] is null or plant = any($3)) returning plant`,
      [id, new Date(now), plants],
    )
    const [revoked] = rows
    if (!revoked) return false
    const line = { what: 'revoked a calendar’s address', subject: revoked.plant, before: { id } }
    await record(client, actor, [line], now)
    return true
  })
}

/** The name and the zone of a plant, by the register; null where it has none of this code. */
export function plantPlace(app: pg.Pool, code: string): Promise<{ name: string; zone: string } | null> {
  return inScope(app, 'all', async (client) => {
    const register = await currentRegister(app, client)
    const plant = register.plants.get(code)
    return plant ? { name: plant.name, zone: register.zoneOfPlace(code) as string } : null
  })
}

/** Of these plants (null: of all) those that the register has, by name. */
export function plantsNamed(
  app: pg.Pool,
  codes: readonly string[] | null,
): Promise<{ code: string; name: string }[]> {
  return inScope(app, 'all', async (client) => {
    const { plants } = await currentRegister(app, client)
    return [...plants.values()]
      .filter(({ code }) => codes?.includes(code) ?? true)
      .map(({ code, name }) => ({ code, name }))
      .sort((a, b) => a.name.localeCompare(b.name, 'en'))
  })
}
