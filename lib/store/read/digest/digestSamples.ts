import type pg from 'pg'
import type { Scope } from '@/lib/policy/scope'
import { withReadTransaction } from '../../projection/readTransaction'
import { ROW_COLUMNS, type SampleRow, storedSample, toSampleRow } from '../../projection/sampleRow'
import { SCORED_SAMPLES } from '../../projection/storedForecast'
import { statement } from '../../scope/statement'

const NAMED = statement(storedSample, `select ${ROW_COLUMNS} from ${SCORED_SAMPLES} where code = any($1)`)

/** The samples of these codes in `scope` at `now` (ms UTC), by code. */
export async function getDigestSamples(
  pool: pg.Pool,
  scope: Scope,
  codes: readonly string[],
  now: number,
): Promise<ReadonlyMap<string, SampleRow>> {
  return withReadTransaction(pool, scope, now, async ({ client, register }) => {
    const rows = await NAMED.all(client, [codes])
    return new Map(rows.map((stored) => [stored.code, toSampleRow(stored, register, now)]))
  })
}
