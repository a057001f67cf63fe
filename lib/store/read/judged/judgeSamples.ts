import type pg from 'pg'
import type { Sample } from '@/lib/custody/sample'
import { type Judgement, judge } from '@/lib/judgement/judge'
import { withJudgedTransaction } from './programmeIndex'

/** The judgements of some samples at `now` (ms UTC), each among those of its plant, by kit code. */
export async function judgeSamples(
  pool: pg.Pool,
  samples: readonly Sample[],
  now: number,
): Promise<ReadonlyMap<string, Judgement>> {
  if (samples.length === 0) return new Map()
  const plants = [...new Set(samples.map(({ kit }) => kit.plant))]
  const also = samples.map(({ kit }) => kit.code)
  return withJudgedTransaction(
    pool,
    'all',
    { plants, also },
    now,
    async ({ index }) => new Map(also.map((code) => [code, judge(index.find(code) as Sample, index)])),
  )
}
