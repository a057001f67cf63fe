import type pg from 'pg'
import type { Sample } from '@/lib/custody/sample'
import { type Judgement, judge } from '@/lib/judgement/judge'
import type { ProgrammeIndex } from '@/lib/judgement/programmeIndex'
import type { Actor } from '@/lib/schedule/act'
import type { SampleRow } from '../../projection/sampleRow'
import { type JudgedContext, withJudgedTransaction } from './programmeIndex'

/** The zone of whoever acts, by their side. */
export type ActorZones = Record<Actor['by'], string>

/** One sample as a list shows it, with what it needs. */
export interface JudgedRow extends SampleRow {
  /** Null where it is settled and nothing can be asked about it any more. */
  judgement: Judgement | null
  zones: ActorZones
}

/**
 * Rows of a list with what each needs. An open one is judged even if nobody can be asked about it, since it may be unfit, and so are
 * others of which a list has to know that (`hasToBeJudged`).
 */
export async function judgeRows(
  { index, readOthers }: Pick<JudgedContext, 'index' | 'readOthers'>,
  rows: readonly SampleRow[],
  hasToBeJudged: (row: SampleRow) => boolean = ({ isSettled }) => !isSettled,
): Promise<JudgedRow[]> {
  const unknown = rows.filter((row) => hasToBeJudged(row) && index.find(row.code) === null)
  const others = await readOthers(unknown.map(({ code }) => code))
  return rows.map((row) => judgeRow(row, index, others.get(row.code)))
}

export function judgeRow(
  row: SampleRow,
  index: ProgrammeIndex,
  sample: Sample | null = index.find(row.code),
): JudgedRow {
  const judged = sample && judge(sample, index)
  // Nobody is asked about one that the index lacks, and with it those that it replaces or is replaced by.
  const judgement = judged && index.find(row.code) === null ? { ...judged, acts: [] } : judged
  return {
    ...row,
    // Nobody has to know when a sample that proves nothing would stop its clock.
    forecast: judgement?.fitness === 'unfit' ? null : row.forecast,
    judgement,
    zones: getActorZones(row, index),
  }
}

function getActorZones(
  { plant, laboratory }: Pick<SampleRow, 'plant' | 'laboratory'>,
  { programme }: ProgrammeIndex,
): ActorZones {
  const { register, office } = programme
  return {
    plant: register.getZone(plant) ?? 'UTC',
    laboratory: register.getZone(laboratory) ?? 'UTC',
    programme: office.zone,
  }
}

export interface JudgedSample extends Judgement {
  zones: ActorZones
}

/** Judges one sample among those of its plant at `now` (ms UTC). */
export function judgeSample(pool: pg.Pool, { kit }: Sample, now: number): Promise<JudgedSample> {
  const selection = { plants: [kit.plant], also: [kit.code] }
  return withJudgedTransaction(pool, 'all', selection, now, async ({ index }) => ({
    ...judge(index.find(kit.code) as Sample, index),
    zones: getActorZones(kit, index),
  }))
}
