import { z } from 'zod'
import { OPEN_STANDINGS } from '@/lib/hold/standing'
import { type Judgement, judge } from '@/lib/judgement/judge'
import type { ProgrammeIndex } from '@/lib/judgement/programmeIndex'
import {
  countTally,
  getSampleGroup,
  isListed,
  isUrgent,
  type Tally,
  tally,
} from '@/lib/judgement/sampleGroup'
import { includesSample, type Scope } from '@/lib/policy/scope'
import { STANDING_SQL } from '../projection/sampleConditions'
import { SCORED_SAMPLES } from '../projection/storedForecast'
import { statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'

/** Counts of the samples that a board lists. */
export interface BoardCounts {
  total: number
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

/** A sample that a board lists. */
export interface ListedSample {
  isSettled: boolean
  judgement: Judgement
}

/** Judges every sample that a scope sees; those that are open or ask for something. */
export function judgeListed(index: ProgrammeIndex, scope: Scope): ListedSample[] {
  return index.programme.samples
    .filter(({ kit }) => includesSample(scope, kit))
    .map((sample) => ({ isSettled: sample.settled !== null, judgement: judge(sample, index) }))
    .filter(isListed)
}

/** Counts all listed samples of the transaction's scope, of which `listed` are those that are judged. */
export async function countListed(
  db: Queryable,
  listed: readonly ListedSample[],
  now: number,
): Promise<BoardCounts> {
  const judgements = listed.map(({ judgement }) => judgement)
  const classify = (one: Judgement) => getSampleGroup(one, one.standing)
  const groups = tally(judgements.map(classify))
  const codes = judgements.map(({ sample }) => sample)
  for (const { standing, count } of await OTHERS.all(db, [new Date(now), codes]))
    groups[getSampleGroup(null, standing)] += count
  return {
    total: countTally(groups),
    groups,
    urgent: tally(judgements.filter(isUrgent).map(classify)),
  }
}
