import { createHash } from 'node:crypto'
import type pg from 'pg'
import type { FeedEntry } from '@/lib/judgement/feedEntries'
import type { StampedEntry } from '@/lib/judgement/feedText'

interface Version {
  uid: string
  digest: Buffer
  sequence: number
  modifiedAt: Date
}

/**
 * Entries of a plant's calendar with their versions: one that says what it said when it was last asked for is the same
 * version, and one that says something else the next. `url` is the site's own, so that two sites share no entry.
 * `now` in ms UTC.
 */
export async function stampEntries(
  door: pg.Pool,
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
  const before = await versionsOf(door, plant, uids)
  const changed = said.filter(({ uid, digest }) => !before.get(uid)?.digest.equals(digest))
  if (changed.length > 0) await enterVersions(door, plant, changed, now)
  const after = changed.length > 0 ? await versionsOf(door, plant, uids) : before
  return said.map(({ entry, uid }) => {
    const version = after.get(uid)
    return { ...entry, uid, sequence: version?.sequence ?? 0, modifiedAt: Number(version?.modifiedAt ?? now) }
  })
}

async function versionsOf(
  door: pg.Pool,
  plant: string,
  uids: readonly string[],
): Promise<Map<string, Version>> {
  const { rows } = await door.query<Version>(
    `select uid, digest, sequence, modified_at as "modifiedAt" from calendar_entry
     where plant = $1 and uid = any($2)`,
    [plant, uids],
  )
  return new Map(rows.map((row) => [row.uid, row]))
}

/** Of several that ask at once each change counts once: the row is compared again when it is written. */
async function enterVersions(
  door: pg.Pool,
  plant: string,
  changed: readonly { uid: string; digest: Buffer }[],
  now: number,
): Promise<void> {
  await door.query(
    `insert into calendar_entry as entry (plant, uid, digest, modified_at)
     select $1, uid, digest, $2 from unnest($3::text[], $4::bytea[]) as said (uid, digest) order by uid
     on conflict (plant, uid) do update
       set digest = excluded.digest, sequence = entry.sequence + 1,
         modified_at = greatest(excluded.modified_at, entry.modified_at)
       where entry.digest <> excluded.digest`,
    [plant, new Date(now), changed.map(({ uid }) => uid), changed.map(({ digest }) => digest)],
  )
}
