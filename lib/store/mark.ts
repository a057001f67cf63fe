import type { Queryable } from './eventLedger'

/** Whether the database holds the demo programme: invented plants, invented data. */
export async function isDemo(db: Queryable): Promise<boolean> {
  const { rows } = await db.query("select 1 from mark where name = 'demo'")
  return rows.length > 0
}

/** Marks the database as the demo programme's, made at `now` (ms UTC). */
export async function markDemo(db: Queryable, now: number): Promise<void> {
  await db.query(
    "insert into mark values ('demo', to_jsonb($1::float8)) on conflict (name) do update set value = excluded.value",
    [now],
  )
}
