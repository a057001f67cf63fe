import { FAULTS } from '@/lib/custody/condition'
import { type Finding, listUnruled } from '@/lib/custody/finding'
import { joinFindingKey } from '@/lib/custody/findingKey'
import { type Fitness, findFailure, getFitness } from '@/lib/custody/fitness'
import type { Sample } from '@/lib/custody/sample'
import type { Standing } from '@/lib/hold/standing'
import { type Message, message } from '@/lib/messages/message'
import type { Actor } from '@/lib/schedule/act'
import { FAILURE_REASONS } from '@/lib/schedule/progress'
import { compareActs } from './acts'
import { findLoss } from './findLoss'
import { listNamedFindings } from './namedFindings'
import { makeAct, type NextAct } from './nextAct'
import type { ProgrammeIndex } from './programmeIndex'
import { SampleContext } from './sampleContext'
import { listMissing, listStepActs, listUndecidedTimes } from './usualActs'

/** What must not be done with a sample meanwhile; null where nothing is forbidden. */
export type Restraint = 'do not send' | 'do not load'

/** The judgement of one sample at one time: every page, mail and feed shows this and decides nothing itself. */
export interface Judgement {
  sample: string
  standing: Standing
  fitness: Fitness
  restraint: Restraint | null
  /** What its parties have to do, what saves most first; empty where nobody has to do anything. */
  acts: readonly NextAct[]
}

/** Judges a sample of a programme, at the programme's time. Pure: the order of samples and events does not matter. */
export function judge(sample: Sample, index: ProgrammeIndex): Judgement {
  const context = new SampleContext(sample, index)
  const fitness = getFitness(sample, index.programme.now)
  return {
    sample: sample.kit.code,
    standing: context.getStanding(),
    fitness,
    restraint: findRestraint(context, fitness),
    acts: isJudged(context)
      ? [...listActs(context, fitness), ...(needsTimes(context, fitness) ? listUndecidedTimes(context) : [])]
          .map((one) => ({ ...one, loss: findLoss(one.act, context) }))
          .sort(compareActs)
      : [],
  }
}

/** Whether anything can be asked about it: a cancelled kit needs nothing, and a retained sample only once it replaces another. */
function isJudged({ sample, index, register }: SampleContext): boolean {
  const { kit, history } = sample
  if (history.ending?.kind === 'cancelled') return false
  if (!register.plants.has(kit.plant) || !register.laboratories.has(kit.laboratory)) return false
  return kit.purpose !== 'retained' || index.isOwed(sample)
}

/** Whether the times that decide its clocks still matter: nothing is asked about one that is finished, fit or not owed. */
function needsTimes({ sample, index }: SampleContext, fitness: Fitness): boolean {
  if (fitness === 'in question') return true
  const isFinished = sample.history.milestones.has('reported') || sample.history.ending !== null
  return !isFinished || (fitness === 'unfit' && index.findReplacementNeed(sample) !== null)
}

function findRestraint(context: SampleContext, fitness: Fitness): Restraint | null {
  if (fitness === 'fit' || context.hasReached('loaded')) return null
  if (context.sample.history.ending?.kind === 'lost') return null
  if (!context.hasReached('dispatched')) return 'do not send'
  if (fitness === 'in question' && !canWait(context)) return null
  return 'do not load'
}

/** The findings that wait for a ruling, and whether all of them would be settled by the times that are missing. */
function listWaiting({ sample, now }: SampleContext): { unruled: Finding[]; isForWantOfTimes: boolean } {
  const lacking = new Set(
    sample.clocks
      .filter((clock) => clock.isNotReported)
      .map(({ limit }) => joinFindingKey(limit.name, 'unproven')),
  )
  const unruled = listUnruled(sample.findings, now)
  return { unruled, isForWantOfTimes: unruled.every(({ key }) => lacking.has(key)) }
}

/** Whether a ruling can still come before the sample has to be loaded. */
function canWait(context: SampleContext): boolean {
  return context.canRuleBefore(context.findLastLoadingAt())
}

function listActs(context: SampleContext, fitness: Fitness): NextAct[] {
  switch (fitness) {
    case 'unfit':
      return listUnfitActs(context)
    case 'in question': {
      const waiting = listWaiting(context)
      if (waiting.isForWantOfTimes && context.index.isProvedLater(context.sample)) return []
      return [...listQuestionActs(context, waiting), ...listMissing(context)]
    }
    case 'fit':
      return context.sample.history.replacedBy === null
        ? [...listStepActs(context), ...listMissing(context)]
        : []
  }
}

/** A sample that proves nothing asks for its replacement, and for nothing else; one in the chamber also whether to go on. */
function listUnfitActs(context: SampleContext): NextAct[] {
  const { sample, index, now, plant, desk } = context
  const acts: NextAct[] = []
  const need = index.findReplacementNeed(sample)
  if (need !== null) {
    const lastCut = index.findTestOfFailed(sample)?.lastCut ?? null
    const byAt = lastCut !== null && lastCut.dueAt >= now ? lastCut.dueAt : null
    const why = message(FAILURE_REASONS[need.reason].text)
    const spare = index.findSpare(sample)
    const overdue = { kind: 'lapsed with no re-collection' as const, sinceAt: need.at }
    acts.push(makeAct(now, 'replace it', { by: 'programme' }, why, { byAt, spare, overdue }))
    acts.push(makeAct(now, 'cut its replacement', plant, why, { byAt, spare }))
  }
  const failure = findFailure(sample, now)
  const isTesting = context.hasReached('loaded') && !context.has('reported')
  if (failure !== null && isTesting && sample.history.ending === null)
    acts.push(makeAct(now, 'stop or go on', desk, message(FAILURE_REASONS[failure.reason].text)))
  return acts
}

/** A sample in question: the programme rules on it, and everyone else is told what to do meanwhile. */
function listQuestionActs(
  context: SampleContext,
  { unruled, isForWantOfTimes }: ReturnType<typeof listWaiting>,
): NextAct[] {
  const { now, plant, desk } = context
  const [first] = unruled as [Finding]
  const found = message('act.rule.why', { what: listFound(unruled) })
  const isTested = context.hasReached('loaded')
  const rulingAt = context.findRulingDueAt(first.at)
  const ruling = makeAct(
    now,
    context.has('reported') ? 'review the certificate' : 'rule on it',
    { by: 'programme' },
    found,
    {
      byAt: rulingAt,
      findings: listNamedFindings(unruled),
      ...(!isForWantOfTimes && {
        late: { kind: 'deviation with no ruling', afterAt: rulingAt },
      }),
    },
  )
  // Whoever knows the times is asked first.
  const rule = isForWantOfTimes ? { ...ruling, isUrgent: false } : ruling
  const wait = (actor: Actor) => makeAct(now, 'wait for the ruling', actor, found, { byAt: rulingAt })
  if (context.has('reported')) return [rule]
  if (isTested) return [rule, makeAct(now, 'go on, hold the report', desk, found)]
  if (!context.hasReached('dispatched'))
    return [
      rule,
      context.isCutToday() ? makeAct(now, 'cut it again', plant, message('act.cutAnew.why')) : wait(plant),
    ]
  if (!context.hasReached('received')) return [rule, ...listStepActs(context), wait(plant)]
  const desks = canWait(context)
    ? wait(desk)
    : makeAct(now, 'load it, hold the report', desk, found, { byAt: context.findLoadByAt() })
  return [rule, desks, wait(plant)]
}

/** The faults that one receipt can have: all of them are named. */
const MAX_FOUND = FAULTS.length

/** What was found, as one phrase; of very many findings the first, and how many more. */
function listFound(findings: readonly Finding[]): Message {
  const named = findings.slice(0, MAX_FOUND).map(({ what }) => what)
  const more = findings.length - named.length
  if (more > 0) named.push(message('act.rule.more', { count: more }))
  return named.reduceRight((rest, what) => message('act.rule.found', { what, rest }))
}
