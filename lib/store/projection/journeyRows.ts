import type pg from 'pg'
import type { readJourney } from './storedJourney'

const CHUNK = 2_000

/** A row of the table `sample` as `readJourney` takes it. */
export type JourneyRow = Parameters<typeof readJourney>[0]

/**
 * The samples that have a journey and fulfil `where` (with `values` from $2 on), by code, as far as the transaction's scope
 * sees them. They come in chunks, and other work gets its turn between two.
 */
export async function* journeyRows(
  client: pg.ClientBase,
  where: string,
  values: readonly unknown[] = [],
): AsyncGenerator<JourneyRow[]> {
  for (let after = ''; ; ) {
    const { rows } = await client.query<JourneyRow>(
      `select code, plant, laboratory, issued_at, journey from sample
       where code > $1 and journey is not null and ${where} order by code limit ${CHUNK}`,
      [after, ...values],
    )
    yield rows
    if (rows.length < CHUNK) return
    after = rows.at(-1)?.code as string
    await new Promise((resolve) => setImmediate(resolve))
  }
}
