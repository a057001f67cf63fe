import type pg from 'pg'
import type { Scope } from '@/lib/policy/scope'
import { ROW_COLUMNS, storedSample, toSampleRow } from '../../projection/sampleRow'
import { SCORED_SAMPLES } from '../../projection/storedForecast'
import { statement } from '../../scope/statement'
import type { PlantHeading } from '../board'
import { judgeListed } from '../boardCounts'
import { compareRows } from '../judged/compareRows'
import { type JudgedRow, judgeRows } from '../judged/judgedRow'
import { withJudgedTransaction } from '../judged/programmeIndex'
import { countSettled, findPlant, findSettled } from './plantHistory'

/** One plant at `asOf` (ms UTC). */
export interface PlantPage {
  asOf: number
  isDemo: boolean
  plant: PlantHeading
  /** The samples that are open or ask for something, most urgent first. */
  open: JudgedRow[]
  /** The last settled, newest first. */
  settled: JudgedRow[]
  settledTotal: number
  laboratories: { code: string; name: string; zone: string }[]
}

const MAX_OPEN = 1_000

/** The plant’s history has a page of its own. */
const MAX_SETTLED = 20

const OPEN = statement(
  storedSample,
  `select ${ROW_COLUMNS} from ${SCORED_SAMPLES}
   where plant = $1 and (settled is null or code = any($2::text[])) order by pressing_at, code limit ${MAX_OPEN}`,
)

/** The samples of a plant that `scope` sees at `now` (ms UTC); null if it does not see the plant. */
export async function getPlantPage(
  pool: pg.Pool,
  scope: Scope,
  code: string,
  now: number,
): Promise<PlantPage | null> {
  return withJudgedTransaction(pool, scope, { plants: [code] }, now, async (reader) => {
    const { client, register, isDemo, index } = reader
    const plant = await findPlant(reader, code)
    if (plant === null) return null
    const asking = judgeListed(index, scope).map(({ judgement }) => judgement.sample)
    const stored = await OPEN.all(client, [code, asking])
    const open = await judgeRows(
      reader,
      stored.map((one) => toSampleRow(one, register, now)),
    )
    const { rows: settled } = await findSettled(reader, code, null, MAX_SETTLED, now)
    const laboratories = [...new Set([...open, ...settled].map(({ laboratory }) => laboratory))].flatMap(
      (name) => register.laboratories.get(name) ?? [],
    )
    return {
      asOf: now,
      isDemo,
      plant,
      open: open.sort(compareRows),
      settled: await judgeRows(reader, settled),
      settledTotal: await countSettled(reader, code),
      laboratories: laboratories.map(({ code: at, name, zone }) => ({ code: at, name, zone })),
    }
  })
}
