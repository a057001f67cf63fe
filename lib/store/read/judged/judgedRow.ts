import type pg from 'pg'
import type { Sample } from '@/lib/custody/sample'
import { type Judgement, judge } from '@/lib/judgement/judge'
import type { ProgrammeIndex } from '@/lib/judgement/programmeIndex'
import type { SampleRow } from '../../projection/sampleRow'
import { withJudgedTransaction } from './programmeIndex'

/** One sample as a list shows it, with what it needs. */
export interface JudgedRow extends SampleRow {
  /** Null where nothing can be asked about it any more. */
  judgement: Judgement | null
}

export function judgeRow(row: SampleRow, index: ProgrammeIndex): JudgedRow {
  const sample = index.find(row.code)
  return { ...row, judgement: sample && judge(sample, index) }
}

/** Judges one sample among those of its plant at `now` (ms UTC). */
export function judgeSample(pool: pg.Pool, sample: Sample, now: number): Promise<Judgement> {
  return withJudgedTransaction(pool, 'all', { plants: [sample.kit.plant] }, now, async ({ index }) =>
    judge(index.find(sample.kit.code) ?? sample, index),
  )
}
