import type pg from 'pg'
import { command } from './statement'
import type { Queryable } from './transaction'
import { withWriteTransaction } from './writer'

const SET = command(
  'insert into app_metadata values ($1, $2::jsonb) on conflict (name) do update set value = excluded.value',
)

/** Sets a named value that concerns the database as a whole. */
export async function setAppMetadata(client: Queryable, name: string, value: string | number): Promise<void> {
  await SET.run(client, [name, JSON.stringify(value)])
}

const MERGE = command(
  `insert into app_metadata values ($1, $2::jsonb)
   on conflict (name) do update set value = app_metadata.value || excluded.value`,
)

/** Sets some fields of a named object and keeps its others. */
export async function mergeAppMetadata(
  client: Queryable,
  name: string,
  fields: Record<string, string | number | null>,
): Promise<void> {
  await MERGE.run(client, [name, JSON.stringify(fields)])
}

/** Marks the database as a demo with invented data, made at `now` (ms UTC). */
export async function markAsDemo(pool: pg.Pool, now: number): Promise<void> {
  await withWriteTransaction(pool, (client) => setAppMetadata(client, 'demo', now))
}
