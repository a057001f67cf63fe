import type pg from 'pg'
import { WAITS_AFTER } from '@/lib/judgement/nextStep'
import type { Scope } from '@/lib/policy/scope'
import { withReadTransaction } from '../../projection/readTransaction'
import { buildStandingCondition } from '../../projection/sampleConditions'
import { ROW_COLUMNS, type SampleRow, storedSample, toSampleRow } from '../../projection/sampleRow'
import { SCORED_SAMPLES } from '../../projection/storedForecast'
import { statement } from '../../scope/statement'

/** The samples of the weekly mail by code, and the names and zones of their plants and laboratories. */
export interface DigestSamples {
  rows: ReadonlyMap<string, SampleRow>
  places: ReadonlyMap<string, string>
  zones: ReadonlyMap<string, string>
}

const NAMED_OR_URGENT = statement(
  storedSample,
  `select ${ROW_COLUMNS} from ${SCORED_SAMPLES} where code = any($2)
   union all
   select ${ROW_COLUMNS} from ${SCORED_SAMPLES} where settled is null and code <> all($2)
     and (${buildStandingCondition('at risk')} or 'not reported' = any(flags)
       or stage = any($3))`,
)

/**
 * The samples of these codes in `scope` at `now` (ms UTC), and the open samples that are at risk or miss a time. If the
 * scope is not everything, also the open samples that wait at a plant or a laboratory.
 */
export async function getDigestSamples(
  pool: pg.Pool,
  scope: Scope,
  codes: readonly string[],
  now: number,
): Promise<DigestSamples> {
  return withReadTransaction(pool, scope, now, async ({ client, register }) => {
    const waiting = scope === 'all' ? [] : WAITS_AFTER
    const rows = await NAMED_OR_URGENT.all(client, [new Date(now), codes, waiting])
    const places = new Map<string, string>()
    const zones = new Map<string, string>()
    for (const { plant, laboratory } of rows) {
      places.set(plant, register.plants.get(plant)?.name ?? plant)
      places.set(laboratory, register.laboratories.get(laboratory)?.name ?? laboratory)
      for (const code of [plant, laboratory]) zones.set(code, register.getZone(code) ?? 'UTC')
    }
    return {
      rows: new Map(rows.map((stored) => [stored.code, toSampleRow(stored, register, now)])),
      places,
      zones,
    }
  })
}
