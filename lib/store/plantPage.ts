import type pg from 'pg'
import { type StageDuration, stageDurations } from '@/lib/custody/stages'
import { DAY } from '@/lib/hold/zone'
import { byPress, headingOf, type PlantHeading } from './board'
import { currentRegister } from './currentRegister'
import { isDemo } from './mark'
import { deriveWhatIsDue } from './rebuild'
import { ROW_COLUMNS, type SampleRow, type StoredSample, sampleRow } from './sampleRow'

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
  /** How long each stage took, over the samples whose kits were issued in the last year. */
  stages: StageDuration[]
  laboratories: { code: string; name: string; zone: string }[]
}

const MOST_OPEN = 1_000
const MOST_SETTLED = 100
const YEAR = 365 * DAY

/** One plant's samples at `now` (ms UTC); null where the register has no such plant. */
export async function plantPage(pool: pg.Pool, code: string, now: number): Promise<PlantPage | null> {
  await deriveWhatIsDue(pool, now)
  const register = await currentRegister(pool)
  const plant = register.plants.get(code)
  if (!plant) return null
  const [open, settled, total, past, demo] = await Promise.all([
    pool.query<StoredSample>(
      `select ${ROW_COLUMNS} from sample where plant = $1 and settled is null order by pressing_at, code limit ${MOST_OPEN}`,
      [code],
    ),
    pool.query<StoredSample>(
      `select ${ROW_COLUMNS} from sample where plant = $1 and settled is not null order by settled_at desc, code limit ${MOST_SETTLED}`,
      [code],
    ),
    pool.query<{ count: number }>(
      'select count(*)::int as count from sample where plant = $1 and settled is not null',
      [code],
    ),
    pool.query<Pick<StoredSample, 'issued_at' | 'milestones'>>(
      'select issued_at, milestones from sample where plant = $1 and issued_at > $2',
      [code, new Date(now - YEAR)],
    ),
    isDemo(pool),
  ])
  const rows = (stored: StoredSample[]) => stored.map((one) => sampleRow(one, register, now))
  const shown = [...rows(open.rows).sort(byPress), ...rows(settled.rows)]
  const laboratories = [...new Set(shown.map(({ laboratory }) => laboratory))].flatMap(
    (name) => register.laboratories.get(name) ?? [],
  )
  return {
    asOf: now,
    isDemo: demo,
    plant: headingOf(code, plant),
    open: shown.filter(({ isSettled }) => !isSettled),
    settled: shown.filter(({ isSettled }) => isSettled),
    settledTotal: total.rows[0]?.count ?? 0,
    stages: stageDurations(
      past.rows.map((row) => ({ issuedAt: row.issued_at.getTime(), milestones: row.milestones })),
    ),
    laboratories: laboratories.map(({ code: at, name, zone }) => ({ code: at, name, zone })),
  }
}
