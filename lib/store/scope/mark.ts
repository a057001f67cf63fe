import type pg from 'pg'
import { command } from './statement'
import type { Queryable } from './transaction'
import { asWriter } from './writer'

const SET = command(
  'insert into mark values ($1, $2::jsonb) on conflict (name) do update set value = excluded.value',
)

/** Notes something about the database as a whole, in the place of what was noted under this name. */
export async function setMark(client: Queryable, name: string, value: string | number): Promise<void> {
  await SET.run(client, [name, JSON.stringify(value)])
}

/** Marks the database as the demo programme's (invented plants, invented data), made at `now` (ms UTC). */
export async function markDemo(pool: pg.Pool, now: number): Promise<void> {
  await asWriter(pool, (client) => setMark(client, 'demo', now))
}
