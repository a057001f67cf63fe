import type pg from 'pg'
import { z } from 'zod'
import { toCanonical } from '@/lib/custody/kitCode'
import type { PlantContent } from '@/lib/custody/registerDocument'
import type { Milestone } from '@/lib/hold/milestone'
import { DEFAULT_THRESHOLDS, OPEN_STANDINGS, type OpenStanding } from '@/lib/hold/standing'
import type { Scope } from '@/lib/policy/scope'
import { withReadTransaction } from '../projection/readTransaction'
import { buildOwedCondition, STANDING_SQL } from '../projection/sampleConditions'
import {
  REPLACED_BY,
  ROW_COLUMNS,
  type SampleRow,
  type StoredSample,
  storedSample,
  toSampleRow,
} from '../projection/sampleRow'
import { SCORED_SAMPLES } from '../projection/storedForecast'
import { statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'
import { getPlantAdvice, type PlantAdvice } from './ship/plantAdvice'

export interface BoardFilter {
  /** Part of a kit code, a waybill, a lot, or the code or name of a plant or product. */
  search?: string | undefined
  stage?: Milestone | 'issued' | undefined
  standing?: OpenStanding | undefined
}

export interface PlantHeading {
  code: string
  name: string
  zone: string
  maker: string | null
}

/** `replaced` and `notOwed` are parts of `lapsed`: another sample replaces these, or none has to. */
const openCounts = z.object({
  open: z.number(),
  lapsed: z.number(),
  replaced: z.number(),
  notOwed: z.number(),
  atRisk: z.number(),
  tight: z.number(),
  sound: z.number(),
})

/** The board at `asOf` (ms UTC). */
export interface Board {
  asOf: number
  isDemo: boolean
  /** Counts all open samples, whatever the filter. */
  counts: z.infer<typeof openCounts>
  /** Whether any sample is settled: with none open, this tells a finished programme from one not begun. */
  hasSettled: boolean
  /** The number of unplaced events. */
  unplaced: number
  /** The number of hand-overs that name another maker's waybill and wait for an administrator. */
  claims: number
  /** Most urgent first. With a search, settled samples come last in each band. */
  bands: { plant: PlantHeading; rows: SampleRow[]; ship?: PlantAdvice }[]
  /** The number of matching open samples beyond `MAX_ROWS`. */
  notShown: number
}

/** The most open samples on a board, and the most settled ones that a search finds. */
const MAX_ROWS = 400
const MAX_SETTLED = 100

/** The board of the plants in `scope` at `now` (ms UTC): open samples, most urgent first. */
export async function getBoard(
  pool: pg.Pool,
  scope: Scope,
  filter: BoardFilter,
  now: number,
): Promise<Board> {
  return withReadTransaction(pool, scope, now, async ({ client, register, isDemo }) => {
    const { unplaced, claims, hasSettled, ...counts } = await COUNTS.one(client, [new Date(now)])
    const open = await findOpen(client, filter, now)
    const settled =
      filter.search?.trim() && !filter.standing ? await SETTLED.all(client, toValues(filter, now)) : []
    const toRows = (stored: readonly StoredSample[]) => stored.map((one) => toSampleRow(one, register, now))
    const shown = toRows(open.rows).sort(compareUrgency).slice(0, MAX_ROWS)
    const bands = groupByPlant([...shown, ...toRows(settled)], (code) =>
      getPlantHeading(code, register.plants.get(code)),
    )
    const plants = bands.map(({ plant }) => plant.code)
    const ship = getPlantAdvice(pool, register, scope, plants, now)
    return {
      asOf: now,
      isDemo,
      counts,
      unplaced,
      claims,
      hasSettled,
      bands: bands.map((band) => ({ ...band, ...toShip(ship.get(band.plant.code)) })),
      notShown: open.matching - shown.length,
    }
  })
}

const toShip = (ship: PlantAdvice | undefined) => (ship ? { ship } : {})

/** A plant in a heading; its code and UTC stand in if the register does not have it. */
export function getPlantHeading(code: string, plant: PlantContent | undefined): PlantHeading {
  return { code, name: plant?.name ?? code, zone: plant?.zone ?? 'UTC', maker: plant?.maker ?? null }
}

const COUNTS = statement(
  openCounts.extend({ unplaced: z.number(), claims: z.number(), hasSettled: z.boolean() }),
  `select count(*)::int as open,
     (count(*) filter (where standing = 'lapsed'))::int as lapsed,
     (count(*) filter (where standing = 'lapsed' and ${REPLACED_BY} is not null))::int as replaced,
     (count(*) filter (where standing = 'lapsed' and ${REPLACED_BY} is null and not ${buildOwedCondition()}))::int as "notOwed",
     (count(*) filter (where standing = 'at risk'))::int as "atRisk",
     (count(*) filter (where standing = 'tight'))::int as tight,
     (count(*) filter (where standing = 'sound'))::int as sound,
     (select count(*)::int from unplaced where not is_claim) as unplaced,
     (select count(*)::int from unplaced where is_claim) as claims,
     exists (select from sample where settled is not null) as "hasSettled"
   from (select code, purpose, replaced_by, ${STANDING_SQL} as standing from ${SCORED_SAMPLES} where settled is null) as sample`,
)

/**
 * The condition on a sample's stage ($2, or "issued") and its search text (patterns $3 and $4). Null does not filter, and
 * costs nothing: PostgreSQL plans with the values.
 */
const MATCHES = `case when $2::text is null then true when $2 = 'issued' then stage is null else stage = $2 end
  and ($3::text is null or search like $3 or search like $4)`
/** The same for open samples, with now as $1 and a standing as $5. */
const OPEN = `${SCORED_SAMPLES} where settled is null and ($5::text is null or (${STANDING_SQL}) = $5) and ${MATCHES}`

/** The open samples that match a filter, most urgent first by `pressing_at`. */
export const URGENT_SQL = `select ${ROW_COLUMNS} from ${OPEN} order by pressing_at, code limit ${MAX_ROWS + 1}`
const URGENT = statement(storedSample, URGENT_SQL)
const LIKELY_LATE = statement(
  storedSample,
  `select ${ROW_COLUMNS} from ${OPEN} and risk_tight_at <= $1 order by risk_at_risk_at, code limit ${MAX_ROWS + 1}`,
)
const MATCHING = statement(
  z.object({ matching: z.number() }),
  `select count(*)::int as matching from ${OPEN}`,
)
const SETTLED = statement(
  storedSample,
  `select ${ROW_COLUMNS} from ${SCORED_SAMPLES}
   where settled is not null and $1::timestamptz is not null and ${MATCHES}
   order by settled_at desc, code limit ${MAX_SETTLED}`,
)

/** The parameters $1 to $4 of a filter. */
function toValues({ stage, search }: BoardFilter, now: number) {
  return [new Date(now), stage, ...toPatterns(search?.trim().toLowerCase())]
}

function toPatterns(search: string | undefined): (string | null)[] {
  if (!search) return [null, null]
  // PostgreSQL refuses NUL, which no stored text holds. The empty pattern matches no sample.
  if (search.includes('\u0000')) return ['', null]
  const code = toCanonical(search).toLowerCase()
  const containing = (text: string) => `%${text.replace(/[\\%_]/g, '\\$&')}%`
  return [containing(search), code === '' || code === search ? null : containing(code)]
}

/**
 * The open samples that match: the first by `pressing_at`, and beyond one board's worth also those that their forecast
 * calls tight or worse.
 */
async function findOpen(db: Queryable, filter: BoardFilter, now: number) {
  const values = [...toValues(filter, now), filter.standing]
  const rows = await URGENT.all(db, values)
  if (rows.length <= MAX_ROWS) return { rows, matching: rows.length }
  const likelyLate = await LIKELY_LATE.all(db, values)
  const { matching } = await MATCHING.one(db, values)
  const found = new Map([...rows, ...likelyLate].map((row) => [row.code, row]))
  return { rows: [...found.values()], matching }
}

/** Rows grouped by plant, the most urgent first within a plant and among plants. */
function groupByPlant(rows: readonly SampleRow[], heading: (code: string) => PlantHeading): Board['bands'] {
  const bands = new Map<string, SampleRow[]>()
  for (const row of [...rows].sort(compareUrgency))
    bands.set(row.plant, [...(bands.get(row.plant) ?? []), row])
  return [...bands].map(([code, band]) => ({ plant: heading(code), rows: band }))
}

/**
 * Orders rows by urgency: open before settled; then by standing, replaced samples last. Lapsed ones come with the last
 * lapsed first, since older ones have been seen; those at risk or tight by the chance to miss, in whole per cent. Then by
 * due, then by code.
 */
export function compareUrgency(a: SampleRow, b: SampleRow): number {
  if (a.isSettled !== b.isSettled) return a.isSettled ? 1 : -1
  if (a.isSettled) return (b.settledAt ?? 0) - (a.settledAt ?? 0) || (a.code < b.code ? -1 : 1)
  const rank = (row: SampleRow) =>
    row.replacedBy === null ? OPEN_STANDINGS.indexOf(row.standing as OpenStanding) : OPEN_STANDINGS.length
  const order = rank(a) - rank(b) || getRiskPercent(b) - getRiskPercent(a) || getDueAt(a) - getDueAt(b)
  return (rank(a) === 0 && rank(b) === 0 ? getDueAt(b) - getDueAt(a) : order) || (a.code < b.code ? -1 : 1)
}

/** The chance to miss, per cent; without a forecast, the threshold of its standing. */
function getRiskPercent({ standing, forecast }: SampleRow): number {
  if (standing !== 'at risk' && standing !== 'tight') return 0
  const begins = standing === 'tight' ? DEFAULT_THRESHOLDS.tight : DEFAULT_THRESHOLDS.atRisk
  return Math.round(100 * (forecast?.risk ?? begins))
}

function getDueAt(row: SampleRow): number {
  const clock = row.standing === 'lapsed' ? (row.lapsed ?? row.binding) : row.binding
  return clock?.dueAt ?? Number.MAX_SAFE_INTEGER
}
