import type pg from 'pg'
import { canonical } from '@/lib/custody/kitCode'
import type { PlantContent } from '@/lib/custody/registerDocument'
import type { Milestone } from '@/lib/hold/milestone'
import { OPEN_STANDINGS, type OpenStanding } from '@/lib/hold/standing'
import type { Queryable } from './eventLedger'
import { asReader } from './reader'
import { REPLACED_BY, ROW_COLUMNS, type SampleRow, type StoredSample, sampleRow } from './sampleRow'
import type { Scope } from './scope'

export interface BoardFilter {
  /** Part of a kit code, a waybill, a lot, or the code or name of a plant or product. */
  search?: string | undefined
  stage?: Milestone | 'issued' | undefined
  standing?: OpenStanding | undefined
}

/** A plant as a heading names it. */
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
  /** Over all open samples, whatever the filter; those replaced are lapsed ones that another sample stands in for. */
  counts: { open: number; lapsed: number; replaced: number; atRisk: number; tight: number; sound: number }
  /** Some sample is settled: where none is open, all are done rather than none begun. */
  hasSettled: boolean
  /** Events that fit nothing. */
  unplaced: number
  /** Most pressing first. With a search, settled samples come last in each band. */
  bands: { plant: PlantHeading; rows: SampleRow[] }[]
  /** Open samples that match and were left off as less pressing. */
  notShown: number
}

/** The most open samples that one board shows, and the most settled ones that a search finds. */
export const MOST_ROWS = 400
const MOST_SETTLED = 100

/** The board of the plants in `scope` at `now` (ms UTC): open samples, most pressing first. */
export async function board(pool: pg.Pool, scope: Scope, filter: BoardFilter, now: number): Promise<Board> {
  return asReader(pool, scope, now, async ({ client, register, isDemo }) => {
    const { unplaced, hasSettled, ...counts } = await countOpen(client, now)
    const open = await findOpen(client, filter, now)
    const settled = filter.search?.trim() && !filter.standing ? await findSettled(client, filter) : []
    const rows = [...open.rows, ...settled].map((stored) => sampleRow(stored, register, now))
    return {
      asOf: now,
      isDemo,
      counts,
      unplaced,
      hasSettled,
      bands: bandsOf(rows, (code) => headingOf(code, register.plants.get(code))),
      notShown: open.matching - open.rows.length,
    }
  })
}

export function headingOf(code: string, plant: PlantContent | undefined): PlantHeading {
  return { code, name: plant?.name ?? code, zone: plant?.zone ?? 'UTC', maker: plant?.maker ?? null }
}

async function countOpen(db: Queryable, now: number) {
  const { rows } = await db.query<Board['counts'] & { unplaced: number; hasSettled: boolean }>(
    `select count(*)::int as open,
       (count(*) filter (where ${IS.lapsed}))::int as lapsed,
       (count(*) filter (where ${IS.lapsed} and ${REPLACED_BY} is not null))::int as replaced,
       (count(*) filter (where ${IS.atRisk}))::int as "atRisk",
       (count(*) filter (where ${IS.tight}))::int as tight,
       (count(*) filter (where ${IS.sound}))::int as sound,
       (select count(*)::int from unplaced) as unplaced,
       exists (select from sample where settled is not null) as "hasSettled"
     from sample where settled is null`,
    [new Date(now)],
  )
  return rows[0] as (typeof rows)[number]
}

/** The standings of `openStanding` as conditions on the stored turns, with now as $1. */
const IS = {
  lapsed: '(has_lapsed or coalesce(due_at < $1, false))',
  atRisk: '(not has_lapsed and not coalesce(due_at < $1, false) and coalesce(at_risk_at <= $1, false))',
  tight:
    '(not has_lapsed and not coalesce(due_at < $1, false) and not coalesce(at_risk_at <= $1, false) and coalesce(tight_at <= $1, false))',
  sound:
    '(not has_lapsed and not coalesce(due_at < $1, false) and not coalesce(at_risk_at <= $1, false) and not coalesce(tight_at <= $1, false))',
}

export const IS_STANDING: Record<OpenStanding, string> = {
  lapsed: IS.lapsed,
  'at risk': IS.atRisk,
  tight: IS.tight,
  sound: IS.sound,
}

/** Conditions of a filter beyond the standing, with values from $2 on. */
function conditionsOf(filter: BoardFilter): { conditions: string[]; values: string[] } {
  const conditions: string[] = []
  const values: string[] = []
  const value = (text: string) => `$${values.push(text) + 1}`
  if (filter.stage === 'issued') conditions.push('stage is null')
  else if (filter.stage) conditions.push(`stage = ${value(filter.stage)}`)
  const words = filter.search?.trim().toLowerCase()
  // No stored text holds NUL, and PostgreSQL refuses to be asked for it.
  if (words?.includes('\u0000')) conditions.push('false')
  else if (words) {
    const code = canonical(words).toLowerCase()
    const plain = `search like ${value(`%${escapeLike(words)}%`)}`
    conditions.push(
      code === '' || code === words ? plain : `(${plain} or search like ${value(`%${escapeLike(code)}%`)})`,
    )
  }
  return { conditions, values }
}

function escapeLike(text: string): string {
  return text.replace(/[\\%_]/g, (character) => `\\${character}`)
}

async function findOpen(db: Queryable, filter: BoardFilter, now: number) {
  const { conditions, values } = conditionsOf(filter)
  const where = [
    'settled is null',
    ...(filter.standing ? [IS_STANDING[filter.standing]] : ['$1::timestamptz is not null']),
    ...conditions,
  ].join(' and ')
  const { rows } = await db.query<StoredSample>(
    `select ${ROW_COLUMNS} from sample where ${where} order by pressing_at, code limit ${MOST_ROWS + 1}`,
    [new Date(now), ...values],
  )
  if (rows.length <= MOST_ROWS) return { rows, matching: rows.length }
  const { rows: counted } = await db.query<{ matching: number }>(
    `select count(*)::int as matching from sample where ${where}`,
    [new Date(now), ...values],
  )
  return { rows: rows.slice(0, MOST_ROWS), matching: counted[0]?.matching ?? rows.length }
}

async function findSettled(db: Queryable, filter: BoardFilter): Promise<StoredSample[]> {
  const { conditions, values } = conditionsOf(filter)
  const { rows } = await db.query<StoredSample>(
    `select ${ROW_COLUMNS} from sample
     where settled is not null and $1::text is null and ${conditions.join(' and ')}
     order by settled_at desc, code limit ${MOST_SETTLED}`,
    [null, ...values],
  )
  return rows
}

/** Rows under their plants: within a plant and among plants the most pressing first. */
function bandsOf(rows: readonly SampleRow[], heading: (code: string) => PlantHeading): Board['bands'] {
  const bands = new Map<string, SampleRow[]>()
  for (const row of [...rows].sort(byPress)) bands.set(row.plant, [...(bands.get(row.plant) ?? []), row])
  return [...bands].map(([code, band]) => ({ plant: heading(code), rows: band }))
}

/**
 * Open before settled. Then by standing, with those that are replaced last; of the lapsed the latest first, since an
 * older one has been seen; of the others the first due; then by code.
 */
export function byPress(a: SampleRow, b: SampleRow): number {
  if (a.isSettled !== b.isSettled) return a.isSettled ? 1 : -1
  if (a.isSettled) return (b.settledAt ?? 0) - (a.settledAt ?? 0) || (a.code < b.code ? -1 : 1)
  const rank = (row: SampleRow) =>
    row.replacedBy === null ? OPEN_STANDINGS.indexOf(row.standing as OpenStanding) : OPEN_STANDINGS.length
  const order = rank(a) - rank(b) || dueOf(a) - dueOf(b)
  return (rank(a) === 0 && rank(b) === 0 ? dueOf(b) - dueOf(a) : order) || (a.code < b.code ? -1 : 1)
}

function dueOf(row: SampleRow): number {
  const clock = row.standing === 'lapsed' ? (row.lapsed ?? row.binding) : row.binding
  return clock?.dueAt ?? Number.MAX_SAFE_INTEGER
}
