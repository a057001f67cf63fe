import type pg from 'pg'
import { z } from 'zod'
import type { Register } from '@/lib/custody/register'
import { AT_PLANT, listMilestones, UNDER_WAY } from '@/lib/hold/milestone'
import { DAY } from '@/lib/hold/zone'
import type { Scope } from '@/lib/policy/scope'
import {
  ROW_COLUMNS,
  type SampleRow,
  type StoredSample,
  storedSample,
  toSampleRow,
} from '../../projection/sampleRow'
import { SCORED_SAMPLES } from '../../projection/storedForecast'
import { toSqlInstant } from '../../scope/sqlInstant'
import { statement } from '../../scope/statement'
import { getPlantHeading, type PlantHeading } from '../board'
import { type JudgedRow, judgeRows } from '../judged/judgedRow'
import { listJudgedPlants, withJudgedTransaction } from '../judged/programmeIndex'

/** The samples that laboratories have to receive, at `asOf` (ms UTC). */
export interface ReceivingList {
  asOf: number
  isDemo: boolean
  laboratories: {
    code: string
    name: string
    zone: string
    rows: ComingSample[]
    notShown: number
    /** Its other samples, open or settled of late: nobody waits for them, and one may be scanned all the same. */
    others: KnownSample[]
  }[]
}

export interface KnownSample extends JudgedRow {
  plantHeading: PlantHeading
}

export interface ComingSample extends KnownSample {
  /** The waybills under which it was handed over. */
  waybills: string[]
}

const MAX_ROWS = 300
/** The most samples of which a page knows what to say if they are scanned; any other is received all the same. */
const MAX_OTHERS = 600
const GONE = listMilestones('dispatched', 'reported')

const LEFT_PLANT = statement(
  storedSample,
  `select ${ROW_COLUMNS} from ${SCORED_SAMPLES}
   where settled is null and stage = any($2) and ($1::text[] is null or laboratory = any($1))
   order by stage <> 'delivered', pressing_at, code`,
)

/** Kits whose hand-over nobody reported, the last issued first. */
const NOT_SENT = statement(
  storedSample,
  `select ${ROW_COLUMNS} from ${SCORED_SAMPLES}
   where settled is null and (stage is null or stage = any($2)) and ($1::text[] is null or laboratory = any($1))
   order by issued_at desc, code limit ${MAX_ROWS}`,
)

/** A box can come, or be scanned again, so long after its sample was settled. Chosen, no source. */
const SETTLED_DAYS = 60
const SETTLED = statement(
  storedSample,
  `select ${ROW_COLUMNS} from ${SCORED_SAMPLES}
   where settled is not null and settled_at > $2::timestamptz and ($1::text[] is null or laboratory = any($1))
   order by settled_at desc, code limit ${MAX_ROWS}`,
)

const WAYBILLS = statement(
  z.object({ sample: z.string(), waybill: z.string() }),
  `select distinct e.sample, e.waybill from event e
   where e.sample = any($1) and e.kind = 'dispatched' and e.waybill is not null
     and not exists (select from event c where c.corrects = e.source || '/' || e.id)`,
)

/**
 * The samples bound for these laboratories (null: any) that are handed over or delivered, not received and not ended: delivered
 * ones first, then the most urgent. An unfit one is not waited for.
 */
export async function getReceivingList(
  pool: pg.Pool,
  scope: Scope,
  laboratories: readonly string[] | null,
  now: number,
): Promise<ReceivingList> {
  const plants = listJudgedPlants(scope)
  return withJudgedTransaction(pool, scope, { plants }, now, async (reader) => {
    const { client, register, isDemo } = reader
    const stored = [
      ...(await LEFT_PLANT.all(client, [laboratories, GONE])),
      ...(await NOT_SENT.all(client, [laboratories, AT_PLANT])),
    ]
    const toRow = (one: StoredSample) => toSampleRow(one, register, now)
    const open = await judgeRows(reader, stored.map(toRow))
    const settled = await SETTLED.all(client, [laboratories, toSqlInstant(now - SETTLED_DAYS * DAY)])
    const others = [
      ...open.filter((row) => !isAwaited(row)),
      ...(await judgeRows(reader, settled.map(toRow), (row) => !isReceived(row))),
    ]
    const rows = open.filter(isAwaited)
    const travelling = await WAYBILLS.all(client, [rows.map(({ code }) => code)])
    // A box of no list can be at any of them.
    const codes = laboratories ?? [...register.laboratories.keys()].sort()
    return {
      asOf: now,
      isDemo,
      laboratories: codes.map((code) => {
        const bound = rows.filter(({ laboratory }) => laboratory === code)
        const known = register.laboratories.get(code)
        return {
          code,
          name: known?.name ?? code,
          zone: known?.zone ?? 'UTC',
          rows: bound.slice(0, MAX_ROWS).map((row) => ({
            ...withPlant(row, register),
            waybills: travelling.filter(({ sample }) => sample === row.code).map(({ waybill }) => waybill),
          })),
          notShown: Math.max(0, bound.length - MAX_ROWS),
          others: others
            .filter(({ laboratory }) => laboratory === code)
            .slice(0, MAX_OTHERS)
            .map((row) => withPlant(row, register)),
        }
      }),
    }
  })
}

function withPlant(row: JudgedRow, register: Register): KnownSample {
  return { ...row, plantHeading: getPlantHeading(row.plant, register.plants.get(row.plant)) }
}

/** Whether a receipt of it was reported. */
export function isReceived({ milestones }: Pick<SampleRow, 'milestones'>): boolean {
  return milestones.some(({ milestone }) => milestone === 'received')
}

function isAwaited({ stage, judgement }: JudgedRow): boolean {
  return stage !== null && UNDER_WAY.includes(stage) && judgement?.fitness !== 'unfit'
}
