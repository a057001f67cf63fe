import type pg from 'pg'

export const AT_ONCE_KINDS = ['at risk', 'lapsed', 'arrived'] as const

/** What can be told at once of a sample. */
export type AtOnceKind = (typeof AT_ONCE_KINDS)[number]

/** What a person wants to be told at once, in the order of `AT_ONCE_KINDS`. */
export async function atOnceChoice(db: pg.Pool | pg.PoolClient, personId: string): Promise<AtOnceKind[]> {
  const { rows } = await db.query<{ kind: AtOnceKind }>(
    'select kind from at_once_choice where person_id = $1',
    [personId],
  )
  const chosen = new Set(rows.map(({ kind }) => kind))
  return AT_ONCE_KINDS.filter((kind) => chosen.has(kind))
}

/** Keeps what a person wants to be told at once. What they want already keeps the time from which it holds; `now` in ms UTC. */
export async function setAtOnceChoice(
  client: pg.PoolClient,
  personId: string,
  kinds: readonly AtOnceKind[],
  now: number,
): Promise<void> {
  await client.query('delete from at_once_choice where person_id = $1 and kind <> all($2)', [personId, kinds])
  await client.query(
    `insert into at_once_choice (person_id, kind, since_at) select $1, kind, $3 from unnest($2::text[]) as new (kind)
     on conflict do nothing`,
    [personId, kinds, new Date(now)],
  )
}
