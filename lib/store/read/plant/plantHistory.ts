import type pg from 'pg'
import { z } from 'zod'
import type { Scope } from '@/lib/policy/scope'
import { asReader, type Reader } from '../../projection/reader'
import { ROW_COLUMNS, type SampleRow, type StoredSample, sampleRow } from '../../projection/sampleRow'
import { SCORED_SAMPLES } from '../../projection/storedForecast'
import { cutPage, type Page } from '../../scope/pages'
import { headingOf, type PlantHeading } from '../board'

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
export const HISTORY_KEY = z
  .string()
  .regex(/^-?\d{1,15}\.[0-9A-Z]{8}$/)
  .refine((key) => Number.parseInt(key, 10) >= EARLIEST && Number.parseInt(key, 10) <= LATEST)

/**
 * The last settled samples of a plant, at most `most`, of those below `olderThan` (a `HISTORY_KEY`) where it is given, as far
 * as `scope` lets see them. Null where it lets see no such plant.
 */
export async function plantHistory(
  pool: pg.Pool,
  scope: Scope,
  code: string,
  olderThan: string | null,
  most: number,
  now: number,
): Promise<PlantHistory | null> {
  return asReader(pool, scope, now, async (reader) => {
    const plant = await findPlant(reader, code)
    if (plant === null) return null
    const total = await countSettled(reader, code)
    const page = await findSettled(reader, code, olderThan, most, now)
    return { asOf: now, isDemo: reader.isDemo, plant, total, ...page }
  })
}

/** The plant of a code, as a heading names it; null where the reader's scope lets see no such plant. */
export async function findPlant({ client, register }: Reader, code: string): Promise<PlantHeading | null> {
  // Every plant in sight, whichever was asked for: to look for one would take longer where it is another's.
  const seen = await client.query<{ code: string }>(
    "select distinct code from register_entry where kind = 'plant'",
  )
  const plant = register.plants.get(code)
  return plant && seen.rows.some((row) => row.code === code) ? headingOf(code, plant) : null
}

/** How many samples of a plant are settled, as far as the reader's scope lets see them. */
export async function countSettled({ client }: Reader, plant: string): Promise<number> {
  const { rows } = await client.query<{ count: number }>(
    'select count(*)::int as count from sample where plant = $1 and settled is not null',
    [plant],
  )
  return rows[0]?.count ?? 0
}

/** A page of them, the last settled first; of those settled at one instant the one with the last code. */
export async function findSettled(
  { client, register }: Reader,
  plant: string,
  olderThan: string | null,
  most: number,
  now: number,
): Promise<Page<SampleRow>> {
  const [settledAt, code] = olderThan?.split('.') ?? []
  const { rows } = await client.query<StoredSample>(settledSql(olderThan !== null, most), [
    plant,
    ...(olderThan === null ? [] : [new Date(Number(settledAt)), code]),
  ])
  const keyOf = (row: SampleRow) => `${row.settledAt}.${row.code}`
  return cutPage(
    rows.map((row) => sampleRow(row, register, now)),
    most,
    keyOf,
  )
}

/** One more than `most` settled samples of the plant $1, below when $2 the sample $3 was settled. */
export function settledSql(isOlder: boolean, most: number): string {
  return `select ${ROW_COLUMNS} from ${SCORED_SAMPLES}
    where plant = $1 and settled is not null ${isOlder ? 'and (settled_at, code) < ($2, $3)' : ''}
    order by settled_at desc, code desc limit ${most + 1}`
}
