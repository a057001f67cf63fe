import type pg from 'pg'

/** What is derived, as text, so that two derivations can be compared bit for bit. */
export async function derivedText(pool: pg.Pool): Promise<string[]> {
  const samples = await pool.query<{ row: string }>('select sample::text as row from sample order by code')
  const unplaced = await pool.query<{ row: string }>(
    "select 'unplaced ' || e.source || '/' || e.id as row from unplaced u join event e on e.seq = u.event_seq order by 1",
  )
  return [...samples.rows, ...unplaced.rows].map(({ row }) => row)
}

/** Empties the ledgers, which refuse that to all but their owner, and what is derived from them. */
export const clearLedger = (owner: pg.Pool) =>
  owner.query(`
    alter table event disable trigger all; alter table register_entry disable trigger all;
    truncate event, register_entry, sample, unplaced cascade;
    alter table event enable trigger all; alter table register_entry enable trigger all`)
