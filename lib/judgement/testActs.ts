import { getDayEnd, toLocalDay } from '@/lib/hold/zone'
import type { ActKind } from '@/lib/schedule/act'
import type { DueLine, OwedTest } from '@/lib/schedule/owedTests'
import type { ActName } from './acts'
import type { JudgedSubject } from './judgeAll'
import type { NextAct } from './nextAct'

/** The same act of a test and of its sample; null where a sample is never asked for it. */
const SAMPLE_ACT_BY_TEST_ACT: Readonly<Record<ActKind, ActName | null>> = {
  'post kit': 'post it',
  cut: 'cut it',
  'hand over': 'hand it over',
  receive: 'receive it',
  load: 'load it',
  'end test': null,
  report: 'report it',
}

/**
 * Tests as the judgement of their samples at `now` (ms UTC) leaves them. An act is due when the judgement says so, if that is
 * sooner than planned. While what was found on a sample waits for its ruling, nobody is asked by the plan to go on with it: only
 * the day of the report stays, whichever sample proves it in the end.
 */
export function applyJudgements(
  owed: readonly OwedTest[],
  judged: readonly JudgedSubject[],
  now: number,
): OwedTest[] {
  const byCode = new Map(judged.map(({ sample, judgement }) => [sample, judgement]))
  return owed.map((test) => {
    const judgement = byCode.get(test.kit ?? '')
    if (judgement === undefined) return test
    if (judgement.fitness !== 'fit')
      return { ...test, kit: null, acts: test.acts.filter(({ act }) => act === 'report') }
    return { ...test, acts: test.acts.map((act) => ({ ...act, ...findSoonerDue(act, judgement.acts, now) })) }
  })
}

function findSoonerDue(
  { act, zone, dueAt }: OwedTest['acts'][number],
  acts: readonly NextAct[],
  now: number,
): Pick<OwedTest['acts'][number], 'dueDay' | 'dueAt'> | null {
  const { byAt = null, notBeforeAt = null } =
    acts.find((one) => one.act === SAMPLE_ACT_BY_TEST_ACT[act]) ?? {}
  // Nobody is asked to do early what would be early.
  if (notBeforeAt !== null && notBeforeAt > dueAt)
    return { dueDay: toLocalDay(notBeforeAt, zone), dueAt: getDayEnd(toLocalDay(notBeforeAt, zone), zone) }
  return byAt === null || byAt < now || byAt >= dueAt ? null : { dueDay: toLocalDay(byAt, zone), dueAt: byAt }
}

/** Whether a line of a test asks for what a sample needs next. */
export function asksFor({ owed, acts }: DueLine, sample: string, { act }: NextAct): boolean {
  return owed.kit === sample && acts.some((kind) => SAMPLE_ACT_BY_TEST_ACT[kind] === act)
}
