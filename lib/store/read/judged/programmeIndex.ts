import type pg from 'pg'
import { z } from 'zod'
import type { Sample } from '@/lib/custody/sample'
import { ProgrammeIndex, type SampleScore } from '@/lib/judgement/programmeIndex'
import { computeDaysWithin } from '@/lib/lane/forecast/daysWithin'
import { TRANSIT } from '@/lib/lane/model/lanes'
import type { TransitModel } from '@/lib/lane/model/transitModel'
import type { Scope } from '@/lib/policy/scope'
import type { Pace } from '@/lib/schedule/owedTests'
import { type ReadContext, withReadTransaction } from '../../projection/readTransaction'
import { getCachedTransitModel, getTransitModel } from '../../projection/transitModelCache'
import { readOffice, toOfficeCalendar } from '../../register/office'
import { setScope } from '../../scope/scope'
import { statement } from '../../scope/statement'
import { deriveSamples, readActionableSamples } from './sampleCache'

export interface JudgedContext extends ReadContext {
  /** Every sample that can ask for something, whoever may see it: show only what the scope includes. */
  index: ProgrammeIndex
  /** Reads samples about which nobody can be asked, such as retained ones, by kit code. Name only what the scope includes. */
  readOthers: (codes: readonly string[]) => Promise<ReadonlyMap<string, Sample>>
}

/** What is judged. */
interface JudgedSelection {
  /** Null for all. */
  plants: readonly string[] | null
  /** Kit codes of samples to be judged whether or not they ask for anything. */
  also?: readonly string[]
  /** Tests are included whose first act is due within so many days. */
  aheadDays?: number
}

/**
 * Runs `work` in a read transaction with the row-level security of `scope`, at `now` (ms UTC), with what can be asked of anyone
 * about the samples of `plants` (null: all). What is due at one plant depends on no other.
 */
export async function withJudgedTransaction<T>(
  pool: pg.Pool,
  scope: Scope,
  { plants, also = [], aheadDays = 0 }: JudgedSelection,
  now: number,
  work: (reader: JudgedContext) => Promise<T>,
): Promise<T> {
  const first = getCachedTransitModel(pool) ?? (await getTransitModel(pool, now))
  return withReadTransaction(pool, 'all', now, async (reader) => {
    const { client, register } = reader
    // The transaction refreshes the model if it can do so quickly; otherwise it is at most a quarter of an hour old.
    const pace = getPace(getCachedTransitModel(pool) ?? first)
    const samples = await readActionableSamples(pool, client, register, plants, now, also)
    const office = toOfficeCalendar(await readOffice(client, register))
    const scores = await readScores(client, plants)
    const index = new ProgrammeIndex({ register, samples, pace, office, now, plants }, scores, aheadDays)
    const readOthers = async (codes: readonly string[]) => {
      if (codes.length === 0) return new Map<string, Sample>()
      await setScope(client, 'all')
      const others = await deriveSamples(client, codes, register, now)
      await setScope(client, scope)
      return others
    }
    await setScope(client, scope)
    return work({ ...reader, index, readOthers })
  })
}

/** The plants whose samples a scope's judgement needs; null for all: a laboratory's samples come from any plant. */
export function listJudgedPlants(scope: Scope): readonly string[] | null {
  return scope === 'all' || scope.laboratories.length > 0 ? null : scope.plants
}

const SCORES = statement(
  z.object({
    code: z.string(),
    tightAt: z.date().nullable(),
    atRiskAt: z.date().nullable(),
    needsOpening: z.boolean(),
  }),
  `select code, tight_at as "tightAt", at_risk_at as "atRiskAt", needs_opening as "needsOpening"
   from forecast where limit_name is not null and ($1::text[] is null or plant = any($1))`,
)

async function readScores(
  client: pg.ClientBase,
  plants: readonly string[] | null,
): Promise<Map<string, SampleScore>> {
  const rows = await SCORES.all(client, [plants])
  return new Map(
    rows.map(({ code, tightAt, atRiskAt, needsOpening }) => [
      code,
      {
        times: { tightAt: tightAt?.getTime() ?? null, atRiskAt: atRiskAt?.getTime() ?? null },
        needsOpening,
      },
    ]),
  )
}

/** How long the stages of the work take, by the transit model. */
export function getPace(model: TransitModel): Pace {
  const atLaboratory = (laboratory: string) => ({ plant: '', laboratory, service: null })
  return {
    medianTransitDays: (lane) => computeDaysWithin(model, TRANSIT, lane, 0.5),
    p90TransitDays: (lane) => computeDaysWithin(model, TRANSIT, lane, 0.9),
    p95TransitDays: (lane) => computeDaysWithin(model, TRANSIT, lane, 0.95),
    p95LoadDays: (laboratory) =>
      computeDaysWithin(model, { from: 'received', to: 'loaded' }, atLaboratory(laboratory), 0.95),
    p95ReportDays: (laboratory) =>
      computeDaysWithin(model, { from: 'loaded', to: 'reported' }, atLaboratory(laboratory), 0.95),
  }
}
