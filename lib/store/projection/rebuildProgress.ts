import type pg from 'pg'
import { z } from 'zod'
import { mergeAppMetadata, setAppMetadata } from '../scope/appMetadata'
import { command, statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'
import { mixVersions } from './rowsVersion'

/** How far a rebuild has come. `app_metadata` has it while one is unfinished. */
const rebuildPosition = z.object({
  /** The version of the rows that are written. */
  to: z.string(),
  /** Kit codes derived, and how many there were at its start. */
  done: z.number(),
  total: z.number(),
  /** The last kit code that was derived; empty at the start. */
  afterCode: z.string(),
  /** The last consignment, once all kit codes are done; null before. */
  afterService: z.string().nullable(),
  afterWaybill: z.string().nullable(),
})
export type RebuildPosition = z.infer<typeof rebuildPosition>

const POSITION = statement(
  z.object({ value: rebuildPosition }),
  "select value from app_metadata where name = 'rebuild'",
)
const VERSION = statement(
  z.object({ value: z.string() }),
  "select value from app_metadata where name = 'zone data'",
)
const COUNT_CODES = statement(
  z.object({ count: z.number() }),
  `select count(*)::int as count from (
     select code from register_entry where kind = 'kit' union select sample from event where sample is not null
     union select code from sample) as codes`,
)
const END = command("delete from app_metadata where name = 'rebuild'")

/** The version of the stored rows, or of several; undefined before anything was derived. */
export async function readDerivedVersion(client: Queryable): Promise<string | undefined> {
  return (await VERSION.first(client))?.value
}

/** The position of the unfinished rebuild to a version; null if there is none. */
export async function readRebuild(client: Queryable, version: string): Promise<RebuildPosition | null> {
  const value = (await POSITION.first(client))?.value
  return value?.to === version ? value : null
}

/**
 * Begins a rebuild to a version, from which on rows of both versions are stored. One that is unfinished goes on, or begins
 * anew if `isAnew`; whoever is at work on it then goes on from its start.
 */
export async function beginRebuild(client: pg.ClientBase, version: string, isAnew: boolean): Promise<void> {
  if (!isAnew && (await readRebuild(client, version))) return
  const { count } = await COUNT_CODES.one(client)
  const start = { done: 0, total: count, afterCode: '', afterService: null, afterWaybill: null }
  await saveRebuild(client, { to: version, ...start })
  const stored = await readDerivedVersion(client)
  if (stored !== undefined) await setAppMetadata(client, 'zone data', mixVersions(stored, version))
}

export async function saveRebuild(client: Queryable, position: RebuildPosition): Promise<void> {
  await mergeAppMetadata(client, 'rebuild', position)
}

/** All rows are of this version now. */
export async function endRebuild(client: Queryable, version: string): Promise<void> {
  await END.run(client)
  await setAppMetadata(client, 'zone data', version)
}
