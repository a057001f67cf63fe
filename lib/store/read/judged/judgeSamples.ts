import type pg from 'pg'
import type { Kit } from '@/lib/custody/register'
import type { Sample } from '@/lib/custody/sample'
import { type Judgement, judge } from '@/lib/judgement/judge'
import { withJudgedTransaction } from './programmeIndex'

/** The judgements of the samples of some kits at `now` (ms UTC), each among those of its plant, by kit code. */
export async function judgeSamples(
  pool: pg.Pool,
  kits: readonly Pick<Kit, 'code' | 'plant'>[],
  now: number,
): Promise<ReadonlyMap<string, Judgement>> {
  if (kits.length === 0) return new Map()
  const plants = [...new Set(kits.map(({ plant }) => plant))]
  const also = kits.map(({ code }) => code)
  return withJudgedTransaction(
    pool,
    'all',
    { plants, also },
    now,
    async ({ index }) => new Map(also.map((code) => [code, judge(index.find(code) as Sample, index)])),
  )
}
