import { KINDS } from '@/lib/custody/eventKinds'
import { listMissingMilestones } from '@/lib/custody/missingMilestones'
import { listUndecided } from '@/lib/custody/sample'
import type { Milestone } from '@/lib/hold/milestone'
import { type MessageKey, message } from '@/lib/messages/message'
import { isPosted, owesFormCopy } from '@/lib/schedule/progress'
import { findSooner, makeAct, type NextAct } from './nextAct'
import type { OverdueKind } from './overdueKinds'
import type { SampleContext } from './sampleContext'

const because = (key: StepMessage) => message(key, { count: 1 })

type StepMessage = Extract<MessageKey, `step.${string}.because`>

/** What a sample without troubles needs next, by its last milestone. */
export function listStepActs(context: SampleContext): NextAct[] {
  if (context.hasReached('reported')) return []
  if (context.hasReached('loaded')) return [makeReport(context)]
  if (context.hasReached('received')) return listLoading(context)
  if (context.hasReached('dispatched')) return listArrival(context)
  if (context.hasReached('collected')) return [makeHandOver(context)]
  return context.isSpare ? [] : [makeCut(context)]
}

const isAtRisk = (context: SampleContext) => context.getStanding() === 'at risk'

function makeCut(context: SampleContext): NextAct {
  const { now, sample, plantZone, plant, owed } = context
  if (!isPosted(sample, plantZone, now)) {
    const byAt = context.computePostingDueAt()
    return makeAct(now, 'post it', { by: 'programme' }, message('overdue.notPosted.why'), {
      byAt,
      late: { kind: 'kit not posted', afterAt: byAt },
    })
  }
  return makeAct(
    now,
    'cut it',
    plant,
    because('step.cut.because'),
    timeStop(context, 'collected', {
      kind: 'not cut',
      plannedAt: context.findCutDueAt(),
      limitAt: findSooner(context.findDueAt('collected'), owed?.lastCut?.dueAt ?? null),
    }),
  )
}

function makeHandOver(context: SampleContext): NextAct {
  return makeAct(
    context.now,
    'hand it over',
    context.plant,
    because('step.handOver.because'),
    timeStop(context, 'dispatched', {
      kind: 'not handed over',
      plannedAt: context.findHandOverDueAt(),
      limitAt: context.findHandOverByAt(),
    }),
  )
}

/**
 * When a milestone is asked for that may end a least time: nothing is due, late or urgent before it may be done. `plannedAt`: by
 * when it is done usually, and late after it; `limitAt`: by when a limit wants it.
 */
function timeStop(
  context: SampleContext,
  milestone: Milestone,
  { kind, plannedAt, limitAt }: { kind: OverdueKind; plannedAt: number | null; limitAt: number | null },
) {
  const notBeforeAt = context.findEarliestStopAt(milestone)
  const isUseful = (at: number | null) => at === null || notBeforeAt === null || at >= notBeforeAt
  return {
    notBeforeAt,
    byAt: findSooner(isUseful(plannedAt) ? plannedAt : null, isUseful(limitAt) ? limitAt : null),
    isUrgent: isAtRisk(context) && notBeforeAt === null,
    late: { kind, afterAt: plannedAt === null ? null : Math.max(plannedAt, notBeforeAt ?? plannedAt) },
  }
}

/** A sample under way: anyone may ask the carrier, the programme first. */
function listArrival(context: SampleContext): NextAct[] {
  const { now, desk, sample } = context
  const programme = { by: 'programme' } as const
  const { held } = sample.history
  const dueAt = context.findDueAt('received') ?? context.findLoadByAt()
  const isRisky = isAtRisk(context)
  if (context.has('delivered')) {
    const receiptAt = context.computeReceiptDueAt()
    const receipt = makeAct(now, 'receive it', desk, because('step.receive.because'), {
      byAt: findSooner(receiptAt, dueAt),
      isUrgent: isRisky,
      late: { kind: 'delivered but not received', afterAt: receiptAt },
    })
    return isRisky ? [receipt, ...listOpening(context)] : [receipt]
  }
  const arrivalAt = context.findArrivalDueAt()
  const acts = [
    makeAct(now, 'receive it', desk, because('step.arrive.because'), { byAt: dueAt }),
    ...listOpening(context),
  ]
  if (held !== null)
    acts.push(
      makeAct(
        now,
        'have it released',
        programme,
        held.by === null ? message('act.release.whyUnknown') : message('act.release.why', { by: held.by }),
        {
          byAt: findSooner(held.untilAt, dueAt),
        },
      ),
    )
  const isLate = arrivalAt !== null && arrivalAt < now
  if (isRisky || isLate)
    acts.push(
      makeAct(
        now,
        'ask the carrier',
        programme,
        isLate ? message('overdue.tooLong.why') : because('step.carrier.because'),
        { byAt: dueAt, isUrgent: isRisky, late: { kind: 'under way too long', afterAt: arrivalAt } },
      ),
    )
  return acts
}

function listOpening(context: SampleContext): NextAct[] {
  if (!context.needsOpening || !isAtRisk(context)) return []
  const why = message('step.opening.laboratory', { count: 1 })
  const byAt = context.findDueAt('received', 'conditioned', 'loaded')
  return [makeAct(context.now, 'open out of hours', context.desk, why, { byAt })]
}

function listLoading(context: SampleContext): NextAct[] {
  const { now, desk } = context
  const isConditioning = !context.has('conditioned') && context.findAwaited() === 'conditioned'
  const loading = makeAct(
    now,
    isConditioning ? 'condition it' : 'load it',
    desk,
    because(isConditioning ? 'step.condition.because' : 'step.load.because'),
    timeStop(context, isConditioning ? 'conditioned' : 'loaded', {
      kind: 'not loaded in time',
      plannedAt: context.findLoadingDueAt(),
      limitAt: context.findLoadByAt(),
    }),
  )
  return [loading, ...listOpening(context)]
}

function makeReport(context: SampleContext): NextAct {
  return makeAct(
    context.now,
    'report it',
    context.desk,
    because('step.report.because'),
    timeStop(context, 'reported', {
      kind: 'report late',
      plannedAt: context.findReportDueAt(),
      limitAt: context.findDueAt('reported'),
    }),
  )
}

/** The times that are asked for since the hour decides a clock: only a day is known, or reports disagree. */
export function listUndecidedTimes(context: SampleContext): NextAct[] {
  const { now, sample } = context
  return listUndecided(sample, now).map((milestone) =>
    makeAct(now, 'give the time', findRecorder(milestone, context), message('act.giveTime.whyHour'), {
      milestone,
    }),
  )
}

/** The papers and the times that a sample lacks. */
export function listMissing(context: SampleContext): NextAct[] {
  const { now, sample, plant, desk } = context
  const missing = listMissingMilestones(sample.clocks, new Set(sample.history.milestones.keys()))
  const acts = missing.map((milestone) =>
    makeAct(now, 'give the time', findRecorder(milestone, context), message('act.giveTime.why'), {
      milestone,
    }),
  )
  const copyAt = context.findFormCopyDueAt()
  if (copyAt !== null && owesFormCopy(sample, now))
    acts.push(
      makeAct(
        now,
        'send the form copy',
        plant,
        message(sample.formCopyAt === null ? 'overdue.noFormCopy.why' : 'overdue.noFormCopy.whyAgain'),
        {
          byAt: copyAt,
          late: { kind: 'form copy missing', afterAt: copyAt },
        },
      ),
    )
  const [reported, loaded] = [
    sample.history.milestones.get('reported'),
    sample.history.milestones.get('loaded'),
  ]
  if (reported && loaded && reported.latestAt < loaded.earliestAt)
    acts.push(makeAct(now, 'hold the report', desk, message('act.holdReport.why')))
  return acts
}

/** Who gives the time of a milestone. The plant is asked for what only the carrier can report. */
function findRecorder(milestone: Milestone, { plant, desk }: SampleContext) {
  return KINDS[milestone].reportedBy.includes('laboratory') ? desk : plant
}
