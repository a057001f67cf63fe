import type pg from 'pg'
import { byPress, headingOf, type PlantHeading } from './board'
import { asReader } from './reader'
import { ROW_COLUMNS, type SampleRow, type StoredSample, sampleRow } from './sampleRow'
import type { Scope } from './scope'
import { SCORED_SAMPLES } from './storedForecast'

/** One plant at `asOf` (ms UTC). */
export interface PlantPage {
  asOf: number
  isDemo: boolean
  plant: PlantHeading
  /** Most pressing first. */
  open: SampleRow[]
  /** The last that were settled, newest first. */
  settled: SampleRow[]
  settledTotal: number
  laboratories: { code: string; name: string; zone: string }[]
}

const MOST_OPEN = 1_000
const MOST_SETTLED = 100

/** What `scope` lets see of one plant's samples at `now` (ms UTC); null where it lets see no such plant. */
export async function plantPage(
  pool: pg.Pool,
  scope: Scope,
  code: string,
  now: number,
): Promise<PlantPage | null> {
  return asReader(pool, scope, now, async ({ client, register, isDemo }) => {
    // Every plant in sight, whichever was asked for: to look for one would take longer where it is another's.
    const seen = await client.query<{ code: string }>(
      "select distinct code from register_entry where kind = 'plant'",
    )
    const plant = register.plants.get(code)
    if (!plant || !seen.rows.some((row) => row.code === code)) return null
    const found = (where: string, limit: number) =>
      client.query<StoredSample>(
        `select ${ROW_COLUMNS} from ${SCORED_SAMPLES} where plant = $1 and ${where}, code limit ${limit}`,
        [code],
      )
    const open = await found('settled is null order by pressing_at', MOST_OPEN)
    const settled = await found('settled is not null order by settled_at desc', MOST_SETTLED)
    const total = await client.query<{ count: number }>(
      'select count(*)::int as count from sample where plant = $1 and settled is not null',
      [code],
    )
    const rows = (stored: StoredSample[]) => stored.map((one) => sampleRow(one, register, now))
    const shown = [...rows(open.rows).sort(byPress), ...rows(settled.rows)]
    const laboratories = [...new Set(shown.map(({ laboratory }) => laboratory))].flatMap(
      (name) => register.laboratories.get(name) ?? [],
    )
    return {
      asOf: now,
      isDemo,
      plant: headingOf(code, plant),
      open: shown.filter(({ isSettled }) => !isSettled),
      settled: shown.filter(({ isSettled }) => isSettled),
      settledTotal: total.rows[0]?.count ?? 0,
      laboratories: laboratories.map(({ code: at, name, zone }) => ({ code: at, name, zone })),
    }
  })
}
