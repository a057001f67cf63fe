import type pg from 'pg'
import { z } from 'zod'
import type { Scope } from '@/lib/policy/scope'
import { type ReadContext, withReadTransaction } from '../../projection/readTransaction'
import { ROW_COLUMNS, type SampleRow, storedSample, toSampleRow } from '../../projection/sampleRow'
import { SCORED_SAMPLES } from '../../projection/storedForecast'
import { type Page, toPage } from '../../scope/pages'
import { statement } from '../../scope/statement'
import { getPlantHeading, type PlantHeading } from '../board'

/** A page of one plant's settled samples, the last settled first, at `asOf` (ms UTC). */
export interface PlantHistory extends Page<SampleRow> {
  asOf: number
  isDemo: boolean
  plant: PlantHeading
  /** How many are settled, on all pages together. */
  total: number
}

/** The first and the last day of the years that an event's time can have, 0000 and 9999, with a day for its zone; ms UTC. */
const [EARLIEST, LATEST] = [Date.UTC(-1, 11, 31), Date.UTC(10_000, 0, 2)]

/** What pages of it are cut by: when a sample was settled (ms UTC), and its code. */
export const HISTORY_CURSOR = z
  .string()
  .regex(/^-?\d{1,15}\.[0-9A-Z]{8}$/)
  .refine((key) => Number.parseInt(key, 10) >= EARLIEST && Number.parseInt(key, 10) <= LATEST)

/**
 * The last settled samples of a plant, at most `most`, of those below `olderThan` (a `HISTORY_CURSOR`) where it is given, as far
 * as `scope` lets see them. Null where it lets see no such plant.
 */
export async function getPlantHistory(
  pool: pg.Pool,
  scope: Scope,
  code: string,
  olderThan: string | null,
  most: number,
  now: number,
): Promise<PlantHistory | null> {
  return withReadTransaction(pool, scope, now, async (reader) => {
    const plant = await findPlant(reader, code)
    if (plant === null) return null
    const total = await countSettled(reader, code)
    const page = await findSettled(reader, code, olderThan, most, now)
    return { asOf: now, isDemo: reader.isDemo, plant, total, ...page }
  })
}

const PLANTS = statement(
  z.object({ code: z.string() }),
  "select distinct code from register_entry where kind = 'plant'",
)

/** The plant of a code, as a heading names it; null where the reader's scope lets see no such plant. */
export async function findPlant(
  { client, register }: ReadContext,
  code: string,
): Promise<PlantHeading | null> {
  // Every plant in sight, whichever was asked for: to look for one would take longer where it is another's.
  const seen = await PLANTS.all(client)
  const plant = register.plants.get(code)
  return plant && seen.some((row) => row.code === code) ? getPlantHeading(code, plant) : null
}

const COUNT = statement(
  z.object({ count: z.number() }),
  'select count(*)::int as count from sample where plant = $1 and settled is not null',
)

/** How many samples of a plant are settled, as far as the reader's scope lets see them. */
export async function countSettled({ client }: ReadContext, plant: string): Promise<number> {
  return (await COUNT.one(client, [plant])).count
}

/** At most $2 settled samples of the plant $1, below when $3 the sample $4 was settled; null for the first of all. */
export const SETTLED_SQL = `select ${ROW_COLUMNS} from ${SCORED_SAMPLES}
  where plant = $1 and settled is not null and ($3::timestamptz is null or (settled_at, code) < ($3, $4))
  order by settled_at desc, code desc limit $2`
const SETTLED = statement(storedSample, SETTLED_SQL)

/** A page of them, the last settled first; of those settled at one instant the one with the last code. */
export async function findSettled(
  { client, register }: ReadContext,
  plant: string,
  olderThan: string | null,
  most: number,
  now: number,
): Promise<Page<SampleRow>> {
  const [settledAt, code] = olderThan?.split('.') ?? []
  const below = settledAt === undefined ? [null, null] : [new Date(Number(settledAt)), code]
  const rows = await SETTLED.all(client, [plant, most + 1, ...below])
  const keyOf = (row: SampleRow) => `${row.settledAt}.${row.code}`
  return toPage(
    rows.map((row) => toSampleRow(row, register, now)),
    most,
    keyOf,
  )
}
