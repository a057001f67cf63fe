import type pg from 'pg'
import { asWriter } from './writer'

/** Marks the database as the demo programme's (invented plants, invented data), made at `now` (ms UTC). */
export async function markDemo(pool: pg.Pool, now: number): Promise<void> {
  await asWriter(pool, (client) =>
    client.query(
      "insert into mark values ('demo', to_jsonb($1::float8)) on conflict (name) do update set value = excluded.value",
      [now],
    ),
  )
}
