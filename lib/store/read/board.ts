import type pg from 'pg'
import { z } from 'zod'
import { toCanonical } from '@/lib/custody/kitCode'
import type { PlantContent } from '@/lib/custody/registerDocument'
import type { Milestone } from '@/lib/hold/milestone'
import { OPEN_STANDINGS } from '@/lib/hold/standing'
import { getSampleGroup, isListed, isUrgent, type SampleGroup } from '@/lib/judgement/sampleGroup'
import { compareUrgency, getUrgency } from '@/lib/judgement/urgency'
import type { Scope } from '@/lib/policy/scope'
import { STANDING_SQL } from '../projection/sampleConditions'
import { ROW_COLUMNS, type StoredSample, storedSample, toSampleRow } from '../projection/sampleRow'
import { SCORED_SAMPLES } from '../projection/storedForecast'
import { statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'
import { type BoardCounts, countListed, judgeListed, type ListedSample } from './boardCounts'
import { compareRows } from './judged/compareRows'
import { type JudgedRow, judgeRows } from './judged/judgedRow'
import { listJudgedPlants, withJudgedTransaction } from './judged/programmeIndex'
import { getPlantAdvice, type PlantAdvice } from './ship/plantAdvice'

export interface BoardFilter {
  /** Part of a kit code, a waybill, a lot, or the code or name of a plant or product. */
  search?: string | undefined
  stage?: Milestone | 'issued' | undefined
  group?: SampleGroup | undefined
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
  /** Counts all that are open or ask for something, whatever the filter. */
  counts: BoardCounts
  /** Whether any sample is settled: with none listed, this tells a finished programme from one not begun. */
  hasSettled: boolean
  /** The number of unplaced events. */
  unplaced: number
  /** The number of hand-overs that name another maker's waybill and wait for an administrator. */
  claims: number
  /** Most urgent first. With a search, settled samples that ask for nothing come last in each band. */
  bands: { plant: PlantHeading; rows: JudgedRow[]; ship?: PlantAdvice }[]
  /** The number of matching listed samples beyond `MAX_ROWS`. */
  notShown: number
}

/** The most listed samples on a board, and the most settled ones that a search finds. */
const MAX_ROWS = 400
const MAX_SETTLED = 100

/** The board of the plants in `scope` at `now` (ms UTC): samples that are open or ask for something, most urgent first. */
export async function getBoard(
  pool: pg.Pool,
  scope: Scope,
  filter: BoardFilter,
  now: number,
): Promise<Board> {
  const plants = listJudgedPlants(scope)
  return withJudgedTransaction(pool, scope, { plants }, now, async (reader) => {
    const { client, register, isDemo, index } = reader
    const { unplaced, claims, hasSettled } = await REST.one(client)
    const listed = judgeListed(index, scope)
    const found = await findListed(client, filter, listed, now)
    const settled =
      filter.search?.trim() && !filter.group ? await SETTLED.all(client, toValues(filter, now)) : []
    const toRows = (stored: readonly StoredSample[]) =>
      judgeRows(
        reader,
        stored.map((one) => toSampleRow(one, register, now)),
      )
    const shown = (await toRows(found.rows)).sort(compareRows).slice(0, MAX_ROWS)
    const others = (await toRows(settled)).filter((row) => !isListed(row))
    const bands = groupByPlant([...shown, ...others], (code) =>
      getPlantHeading(code, register.plants.get(code)),
    )
    const shownPlants = bands.map(({ plant }) => plant.code)
    const ship = getPlantAdvice(pool, register, scope, shownPlants, now)
    return {
      asOf: now,
      isDemo,
      counts: await countListed(client, listed, now),
      unplaced,
      claims,
      hasSettled,
      bands: bands.map((band) => ({ ...band, ...toShip(ship.get(band.plant.code)) })),
      notShown: found.matching - shown.length,
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
/**
 * The condition of a group: the judged samples in it ($5), and of those that are not judged (not in $6) what stands so ($7). $1 is
 * now.
 */
const GROUP = `($5::text[] is null or code = any($5) or (${STANDING_SQL} = any($7::text[]) and code <> all($6::text[])))`
const OPEN = `${SCORED_SAMPLES} where settled is null and ${GROUP} and ${MATCHES}`
/** The same for the samples named by $8, open or not. */
const NAMED = `${SCORED_SAMPLES} where code = any($8::text[]) and ${GROUP} and ${MATCHES}`

/** The open samples that match a filter, most urgent first by `pressing_at`. */
export const URGENT_SQL = `select ${ROW_COLUMNS} from ${OPEN} order by pressing_at, code limit ${MAX_ROWS + 1}`
const URGENT = statement(storedSample, URGENT_SQL)
const LIKELY_LATE = statement(
  storedSample,
  `select ${ROW_COLUMNS} from ${OPEN} and risk_tight_at <= $1 order by risk_at_risk_at, code limit ${MAX_ROWS + 1}`,
)
const NEEDED = statement(storedSample, `select ${ROW_COLUMNS} from ${NAMED}`)
const MATCHING = statement(
  z.object({ open: z.number(), named: z.number() }),
  `select (select count(*)::int from ${OPEN}) as open, (select count(*)::int from ${NAMED}) as named`,
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

/** The parameters $5 to $7 of a filter. */
function toGroupValues(group: SampleGroup | undefined, listed: readonly ListedSample[]) {
  if (group === undefined) return [null, null, null]
  const getCodes = (those: readonly ListedSample[]) => those.map(({ judgement }) => judgement.sample)
  return [
    getCodes(listed.filter(({ judgement }) => getSampleGroup(judgement, judgement.standing) === group)),
    getCodes(listed),
    OPEN_STANDINGS.filter((standing) => getSampleGroup(null, standing) === group),
  ]
}

/** The codes of the samples of which something leads, what presses most first, as many as a board shows. */
function listFirst(listed: readonly ListedSample[]): string[] {
  return listed
    .flatMap(({ judgement: { sample, acts } }) => (acts[0] ? [getUrgency(acts[0], sample)] : []))
    .sort(compareUrgency)
    .slice(0, MAX_ROWS)
    .map(({ key }) => key)
}

/**
 * The listed samples that match: the first open ones by `pressing_at`, and the settled ones that ask for something. Beyond one
 * board's worth also those that their forecast calls tight or worse, and those that need someone today.
 */
async function findListed(db: Queryable, filter: BoardFilter, listed: readonly ListedSample[], now: number) {
  const values = [...toValues(filter, now), ...toGroupValues(filter.group, listed)]
  const settled = listed.filter(({ isSettled }) => isSettled)
  const open = await URGENT.all(db, values)
  const isCut = open.length > MAX_ROWS || settled.length > MAX_ROWS
  const first = listFirst(isCut ? listed.filter((one) => one.isSettled || isUrgent(one.judgement)) : settled)
  const needed = first.length === 0 ? [] : await NEEDED.all(db, [...values, first])
  if (!isCut) return { rows: [...open, ...needed], matching: open.length + needed.length }
  const likelyLate = await LIKELY_LATE.all(db, values)
  const codes = settled.map(({ judgement }) => judgement.sample)
  const count = await MATCHING.one(db, [...values, codes])
  const found = new Map([...open, ...likelyLate, ...needed].map((row) => [row.code, row]))
  return { rows: [...found.values()], matching: count.open + count.named }
}

/** Rows grouped by plant, the most urgent first within a plant and among plants. */
function groupByPlant(rows: readonly JudgedRow[], heading: (code: string) => PlantHeading): Board['bands'] {
  const bands = new Map<string, JudgedRow[]>()
  for (const row of [...rows].sort(compareRows)) bands.set(row.plant, [...(bands.get(row.plant) ?? []), row])
  return [...bands].map(([code, band]) => ({ plant: heading(code), rows: band }))
}
