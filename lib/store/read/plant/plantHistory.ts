import type pg from 'pg'
import { z } from 'zod'
import type { Scope } from '@/lib/policy/scope'
import { type ReadContext, withReadTransaction } from '../../projection/readTransaction'
import { ROW_COLUMNS, type SampleRow, storedSample, toSampleRow } from '../../projection/sampleRow'
import { SCORED_SAMPLES } from '../../projection/storedForecast'
import { type Page, toPage } from '../../scope/pages'
import { statement } from '../../scope/statement'
import { getPlantHeading, type PlantHeading } from '../board'

/** A page of a plant’s settled samples, the last settled first, at `asOf` (ms UTC). */
export interface PlantHistory extends Page<SampleRow> {
  asOf: number
  isDemo: boolean
  plant: PlantHeading
  /** The number of settled samples on all pages. */
  total: number
}

/** The range of event times, years 0000 to 9999 with a day for the zone; ms UTC. */
const [EARLIEST, LATEST] = [Date.UTC(-1, 11, 31), Date.UTC(10_000, 0, 2)]

/** The cursor of a page: when a sample was settled (ms UTC), a dot, and its code. */
export const HISTORY_CURSOR = z
  .string()
  .regex(/^-?\d{1,15}\.[0-9A-Z]{8}$/)
  .refine((key) => Number.parseInt(key, 10) >= EARLIEST && Number.parseInt(key, 10) <= LATEST)

/**
 * The last `limit` settled samples of a plant that `scope` sees, older than the cursor `olderThan` (`HISTORY_CURSOR`) if it
 * is given. Null if `scope` does not see the plant.
 */
export async function getPlantHistory(
  pool: pg.Pool,
  scope: Scope,
  code: string,
  olderThan: string | null,
  limit: number,
  now: number,
): Promise<PlantHistory | null> {
  return withReadTransaction(pool, scope, now, async (reader) => {
    const plant = await findPlant(reader, code)
    if (plant === null) return null
    const total = await countSettled(reader, code)
    const page = await findSettled(reader, code, olderThan, limit, now)
    return { asOf: now, isDemo: reader.isDemo, plant, total, ...page }
  })
}

const PLANTS = statement(
  z.object({ code: z.string() }),
  "select distinct code from register_entry where kind = 'plant'",
)

/** The plant of a code; null if the reader’s scope does not see it. */
export async function findPlant(
  { client, register }: ReadContext,
  code: string,
): Promise<PlantHeading | null> {
  // Reads all visible plants: the time of a query for one would tell whether another maker has it.
  const seen = await PLANTS.all(client)
  const plant = register.plants.get(code)
  return plant && seen.some((row) => row.code === code) ? getPlantHeading(code, plant) : null
}

const COUNT = statement(
  z.object({ count: z.number() }),
  'select count(*)::int as count from sample where plant = $1 and settled is not null',
)

/** The number of a plant’s settled samples in the reader’s scope. */
export async function countSettled({ client }: ReadContext, plant: string): Promise<number> {
  return (await COUNT.one(client, [plant])).count
}

/** At most $2 settled samples of plant $1, settled before the sample $4, which was settled at $3; null for the first page. */
export const SETTLED_SQL = `select ${ROW_COLUMNS} from ${SCORED_SAMPLES}
  where plant = $1 and settled is not null and ($3::timestamptz is null or (settled_at, code) < ($3, $4))
  order by settled_at desc, code desc limit $2`
const SETTLED = statement(storedSample, SETTLED_SQL)

/** A page of settled samples, the last settled first; at one instant, the last code first. */
export async function findSettled(
  { client, register }: ReadContext,
  plant: string,
  olderThan: string | null,
  limit: number,
  now: number,
): Promise<Page<SampleRow>> {
  const [settledAt, code] = olderThan?.split('.') ?? []
  const below = settledAt === undefined ? [null, null] : [new Date(Number(settledAt)), code]
  const rows = await SETTLED.all(client, [plant, limit + 1, ...below])
  const getCursor = (row: SampleRow) => `${row.settledAt}.${row.code}`
  return toPage(
    rows.map((row) => toSampleRow(row, register, now)),
    limit,
    getCursor,
  )
}
