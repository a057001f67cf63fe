import pg from 'pg'
import { formatScope } from '@/lib/store/scope/scope'
import type { TestDatabase } from '@/tests/setup/database'

/** The setting holdfast.scope of each principal; nobody has none. */
export const SETTINGS = {
  nobody: null,
  all: 'all',
  plant: formatScope({ plants: ['PL1'], laboratories: [] }),
  laboratory: formatScope({ plants: [], laboratories: ['LAB2'] }),
  empty: formatScope({ plants: [], laboratories: [] }),
}
export type PrincipalName = keyof typeof SETTINGS

/** The result of the attempts on a table; null if the role lacks the right. */
export interface Attempts {
  /** All rows of the table. */
  total: number
  /** The rows that could be read, as text. */
  seen: string[] | null
  insert: 'entered' | 'refused' | 'no grant'
  /** How many rows could be updated, and deleted. */
  update: number | null
  remove: number | null
}

/** Selects from, inserts into, updates and deletes from a table, each in a transaction that is rolled back. */
export async function attemptAll(
  database: TestDatabase,
  pool: pg.Pool,
  table: string,
  principal: PrincipalName,
): Promise<Attempts> {
  const name = pg.escapeIdentifier(table)
  const all = await database.owner.query<{ row: unknown }>(`select to_jsonb(t) as row from ${name} t`)
  const column = await database.owner.query<{ name: string }>(
    `select attname as name from pg_attribute where attrelid = $1::regclass and attnum = 1`,
    [table],
  )
  const first = pg.escapeIdentifier(column.rows[0]?.name ?? '')
  const tried = (sql: string, values: unknown[] = []) => attempt(pool, principal, sql, values)
  const seen = await tried(`select t::text as row from ${name} t`)
  const insert = await tried(
    `insert into ${name} select * from jsonb_populate_record(null::${name}, $1::jsonb)`,
    [JSON.stringify(all.rows[0]?.row ?? {})],
  )
  const update = await tried(`update ${name} set ${first} = ${first}`)
  const remove = await tried(`delete from ${name}`)
  return {
    total: all.rows.length,
    seen:
      seen === 'no grant' || typeof seen === 'string'
        ? null
        : (seen.rows as { row: string }[]).map(({ row }) => row),
    insert: typeof insert !== 'string' || insert === 'let through' ? 'entered' : insert,
    update: affected(update, all.rows.length),
    remove: affected(remove, all.rows.length),
  }
}

type Outcome = pg.QueryResult | 'no grant' | 'refused' | 'let through'

const affected = (outcome: Outcome, total: number) =>
  outcome === 'no grant'
    ? null
    : outcome === 'let through'
      ? total
      : outcome === 'refused'
        ? 0
        : (outcome.rowCount ?? 0)

async function attempt(
  pool: pg.Pool,
  principal: PrincipalName,
  sql: string,
  values: unknown[],
): Promise<Outcome> {
  const client = await pool.connect()
  try {
    await client.query('begin')
    const scope = SETTINGS[principal]
    if (scope !== null) await client.query(`select set_config('holdfast.scope', $1, true)`, [scope])
    return await client.query(sql, values)
  } catch (error) {
    const { code, message } = error as pg.DatabaseError
    if (code === '42501') return /row-level security/.test(message) ? 'refused' : 'no grant'
    // A copied row violates a unique key, and a referenced row a foreign key: both only after row security let it pass.
    if (code === '23505' || code === '23503') return 'let through'
    throw error
  } finally {
    await client.query('rollback')
    client.release()
  }
}
