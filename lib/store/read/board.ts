import type pg from 'pg'
import { z } from 'zod'
import { toCanonical } from '@/lib/custody/kitCode'
import type { PlantContent } from '@/lib/custody/registerDocument'
import type { Milestone } from '@/lib/hold/milestone'
import { DEFAULT_THRESHOLDS, type OpenStanding } from '@/lib/hold/standing'
import type { Judgement } from '@/lib/judgement/judge'
import { getSampleGroup, isUrgent, SAMPLE_GROUPS } from '@/lib/judgement/sampleGroup'
import type { Scope } from '@/lib/policy/scope'
import { STANDING_SQL } from '../projection/sampleConditions'
import { ROW_COLUMNS, type StoredSample, storedSample, toSampleRow } from '../projection/sampleRow'
import { SCORED_SAMPLES } from '../projection/storedForecast'
import { statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'
import { type BoardCounts, countOpen, judgeOpen } from './boardCounts'
import { type JudgedRow, judgeRow } from './judged/judgedRow'
import { listJudgedPlants, withJudgedTransaction } from './judged/programmeIndex'
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

/** The board at `asOf` (ms UTC). */
export interface Board {
  asOf: number
  isDemo: boolean
  /** Counts all open samples, whatever the filter. */
  counts: BoardCounts
  /** Whether any sample is settled: with none open, this tells a finished programme from one not begun. */
  hasSettled: boolean
  /** The number of unplaced events. */
  unplaced: number
  /** The number of hand-overs that name another maker's waybill and wait for an administrator. */
  claims: number
  /** Most urgent first. With a search, settled samples come last in each band. */
  bands: { plant: PlantHeading; rows: JudgedRow[]; ship?: PlantAdvice }[]
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
  const plants = listJudgedPlants(scope)
  return withJudgedTransaction(pool, scope, { plants }, now, async ({ client, register, isDemo, index }) => {
    const { unplaced, claims, hasSettled } = await REST.one(client)
    const judgements = judgeOpen(index, scope)
    const open = await findOpen(client, filter, listUrgent(judgements), now)
    const settled =
      filter.search?.trim() && !filter.standing ? await SETTLED.all(client, toValues(filter, now)) : []
    const toRows = (stored: readonly StoredSample[]) =>
      stored.map((one) => judgeRow(toSampleRow(one, register, now), index))
    const shown = toRows(open.rows).sort(compareUrgency).slice(0, MAX_ROWS)
    const bands = groupByPlant([...shown, ...toRows(settled)], (code) =>
      getPlantHeading(code, register.plants.get(code)),
    )
    const shownPlants = bands.map(({ plant }) => plant.code)
    const ship = getPlantAdvice(pool, register, scope, shownPlants, now)
    return {
      asOf: now,
      isDemo,
      counts: await countOpen(client, judgements, now),
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

const REST = statement(
  z.object({ unplaced: z.number(), claims: z.number(), hasSettled: z.boolean() }),
  `select (select count(*)::int from unplaced where not is_claim) as unplaced,
     (select count(*)::int from unplaced where is_claim) as claims,
     exists (select from sample where settled is not null) as "hasSettled"`,
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
const NEEDED = statement(storedSample, `select ${ROW_COLUMNS} from ${OPEN} and code = any($6)`)
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

/** The samples that need someone today, what presses most first, as many as a board shows. */
function listUrgent(judgements: readonly Judgement[]): string[] {
  const rank = (one: Judgement) => SAMPLE_GROUPS.indexOf(getSampleGroup(one, one.standing))
  return judgements
    .filter(isUrgent)
    .sort((a, b) => rank(a) - rank(b) || (a.sample < b.sample ? -1 : 1))
    .slice(0, MAX_ROWS)
    .map(({ sample }) => sample)
}

/**
 * The open samples that match: the first by `pressing_at`, and beyond one board's worth also those that their forecast
 * calls tight or worse, and those of `urgent`.
 */
async function findOpen(db: Queryable, filter: BoardFilter, urgent: readonly string[], now: number) {
  const values = [...toValues(filter, now), filter.standing]
  const rows = await URGENT.all(db, values)
  if (rows.length <= MAX_ROWS) return { rows, matching: rows.length }
  const likelyLate = await LIKELY_LATE.all(db, values)
  const needed = await NEEDED.all(db, [...values, urgent])
  const { matching } = await MATCHING.one(db, values)
  const found = new Map([...rows, ...likelyLate, ...needed].map((row) => [row.code, row]))
  return { rows: [...found.values()], matching }
}

/** Rows grouped by plant, the most urgent first within a plant and among plants. */
function groupByPlant(rows: readonly JudgedRow[], heading: (code: string) => PlantHeading): Board['bands'] {
  const bands = new Map<string, JudgedRow[]>()
  for (const row of [...rows].sort(compareUrgency))
    bands.set(row.plant, [...(bands.get(row.plant) ?? []), row])
  return [...bands].map(([code, band]) => ({ plant: heading(code), rows: band }))
}

/**
 * Orders rows by urgency: open before settled; then by group, replaced samples last; in each, those that need someone today
 * first. What proves nothing comes with the last lapsed first, since older ones have been seen; those at risk or tight by the
 * chance to miss, in whole per cent. Then by due, then by code.
 */
export function compareUrgency(a: JudgedRow, b: JudgedRow): number {
  if (a.isSettled !== b.isSettled) return a.isSettled ? 1 : -1
  if (a.isSettled) return (b.settledAt ?? 0) - (a.settledAt ?? 0) || (a.code < b.code ? -1 : 1)
  const order =
    getRank(a) - getRank(b) ||
    Number(isUrgent(b.judgement)) - Number(isUrgent(a.judgement)) ||
    getRiskPercent(b) - getRiskPercent(a) ||
    (isOver(a) ? getDueAt(b) - getDueAt(a) : getDueAt(a) - getDueAt(b))
  return order || (a.code < b.code ? -1 : 1)
}

function getRank({ judgement, standing, replacedBy }: JudgedRow): number {
  if (replacedBy !== null && !isUrgent(judgement)) return SAMPLE_GROUPS.length
  return SAMPLE_GROUPS.indexOf(getSampleGroup(judgement, standing))
}

/** Whether it can no longer be saved. */
function isOver({ judgement, standing }: JudgedRow): boolean {
  const group = getSampleGroup(judgement, standing)
  return group === 'to be replaced' || group === 'unfit' || group === 'of no use'
}

/** The chance to miss, per cent; without a forecast, the threshold of its standing. */
function getRiskPercent({ standing, forecast }: JudgedRow): number {
  if (standing !== 'at risk' && standing !== 'tight') return 0
  const begins = standing === 'tight' ? DEFAULT_THRESHOLDS.tight : DEFAULT_THRESHOLDS.atRisk
  return Math.round(100 * (forecast?.risk ?? begins))
}

function getDueAt(row: JudgedRow): number {
  const clock = row.standing === 'lapsed' ? (row.lapsed ?? row.binding) : row.binding
  return clock?.dueAt ?? Number.MAX_SAFE_INTEGER
}
