import { z } from 'zod'
import { OPEN_STANDINGS } from '@/lib/hold/standing'
import { type Judgement, judge } from '@/lib/judgement/judge'
import type { ProgrammeIndex } from '@/lib/judgement/programmeIndex'
import { countTally, getSampleGroup, isUrgent, type Tally, tally } from '@/lib/judgement/sampleGroup'
import { includesSample, type Scope } from '@/lib/policy/scope'
import { STANDING_SQL } from '../projection/sampleConditions'
import { SCORED_SAMPLES } from '../projection/storedForecast'
import { statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'

/** Counts of open samples. */
export interface BoardCounts {
  open: number
  groups: Tally
  /** Those of them that need someone today. */
  urgent: Tally
}

/** The open samples among which nobody can be asked for anything. $1 is now, $2 those about whom somebody can. */
const OTHERS = statement(
  z.object({ standing: z.enum(OPEN_STANDINGS), count: z.number() }),
  `select ${STANDING_SQL} as standing, count(*)::int as count from ${SCORED_SAMPLES}
   where settled is null and code <> all($2::text[]) group by 1`,
)

/** Judges every open sample that a scope sees. */
export function judgeOpen(index: ProgrammeIndex, scope: Scope): Judgement[] {
  return index.programme.samples
    .filter(({ settled, kit }) => settled === null && includesSample(scope, kit))
    .map((sample) => judge(sample, index))
}

/** Counts all open samples of the transaction's scope, of which `judgements` are those that can ask for something. */
export async function countOpen(
  db: Queryable,
  judgements: readonly Judgement[],
  now: number,
): Promise<BoardCounts> {
  const classify = (one: Judgement) => getSampleGroup(one, one.standing)
  const groups = tally(judgements.map(classify))
  const codes = judgements.map(({ sample }) => sample)
  for (const { standing, count } of await OTHERS.all(db, [new Date(now), codes]))
    groups[getSampleGroup(null, standing)] += count
  return {
    open: countTally(groups),
    groups,
    urgent: tally(judgements.filter(isUrgent).map(classify)),
  }
}
