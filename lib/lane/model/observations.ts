import { MILESTONE_ORDER, type Milestone } from '@/lib/hold/milestone'
import { toLocalDay } from '@/lib/hold/zone'
import { ARRIVAL_BY_ENDING, getConsignmentKey, type Journey, type Known } from './journey'
import type { Observation } from './observation'
import type { ObservationCutoffs } from './observationCutoff'
import type { OpenDays } from './openDays'
import { findReporter, type PlaceDays } from './reporter'
import { listGroupKeys, type Stage, stageKind } from './stage'
import { findStartDay } from './startDay'

/** A journey with what was known of it when the model was built. */
export interface KnownJourney {
  journey: Journey
  known: Known
}

export interface ObservationContext {
  placeDays: PlaceDays
  cutoffs: ObservationCutoffs
  /** ms UTC. */
  knownAt: number
  /** Under way for more open days than this, and nothing later reported: presumed lost. */
  presumedLostSteps: number
}

/**
 * An observation with the facts that influences need. Days are day numbers of the place that reports its end.
 */
export interface StageObservation extends Observation {
  /** The place that reports its end. */
  place: string
  /** Steps are counted from this day. */
  startDay: number
  /** The day of the first due of a clock that its end stops; null if there is none. */
  dueDay: number | null
  consignment: string | null
}

/** The observations of a stage, and counts of what was left out. */
export interface StageObservations {
  observations: StageObservation[]
  /** Arrived before they began. */
  outOfOrder: number
  /** A later milestone shows that its start or end went unreported. */
  notReported: number
  /** Cancelled before dispatch. */
  neverEntered: number
  /** Sorted codes of samples under way so long that they are presumed lost. */
  presumedLost: string[]
}

/** A later arrival counts as none: it is a wrong date, or too late for a forecast to wait for. */
const MAX_ARRIVAL_STEP = 100
const NEVER = Number.POSITIVE_INFINITY

type StageOutcome =
  | { steps: number; hasArrived: boolean; isPresumedLost?: boolean }
  | 'outOfOrder'
  | 'notReported'
  | 'neverEntered'
  | null

/**
 * Collects the observations of one stage. A consignment counts as one observation: each of its m samples in
 * this stage weighs 1/m.
 */
export function collectObservations(
  stage: Stage,
  journeys: readonly KnownJourney[],
  context: ObservationContext,
): StageObservations {
  const found: StageObservations = {
    observations: [],
    outOfOrder: 0,
    notReported: 0,
    neverEntered: 0,
    presumedLost: [],
  }
  const sharing = new Map<string, StageObservation[]>()
  for (const { journey, known } of journeys) {
    const seen = observeStage(stage, journey, known, context)
    if (seen === null) continue
    if (typeof seen === 'string') {
      found[seen] += 1
      continue
    }
    const observation = toObservation(stage, journey, known, seen, context)
    found.observations.push(observation)
    if (seen.isPresumedLost) found.presumedLost.push(journey.code)
    const consignment = getConsignmentKey(journey)
    if (consignment === null) continue
    const others = sharing.get(consignment)
    if (others) others.push(observation)
    else sharing.set(consignment, [observation])
  }
  for (const together of sharing.values())
    for (const observation of together) observation.weight = 1 / together.length
  found.presumedLost.sort()
  return found
}

function toObservation(
  stage: Stage,
  journey: Journey,
  known: Known,
  { steps, hasArrived }: { steps: number; hasArrived: boolean },
  { placeDays }: ObservationContext,
): StageObservation {
  const startedAt = known.milestones.get(stage.from)?.earliestAt as number
  const place = findReporter(stage.to, journey)
  const dueAt = journey.dueAts?.[stage.to]
  return {
    levels: listGroupKeys(stage, journey),
    startedAt,
    steps,
    hasArrived,
    weight: 1,
    place,
    startDay: findStartDay(stage, journey, startedAt, placeDays),
    dueDay: dueAt === undefined ? null : toLocalDay(dueAt, placeDays.getDays(stage.to, place).calendar.zone),
    consignment: getConsignmentKey(journey),
  }
}

/** Null if the journey has not begun the stage. */
function observeStage(
  stage: Stage,
  journey: Journey,
  known: Known,
  context: ObservationContext,
): StageOutcome {
  const { milestones, ending } = known
  const start = milestones.get(stage.from)
  const arrival = milestones.get(stage.to)
  if (!start) return arrival ? 'notReported' : null
  const place = findReporter(stage.to, journey)
  const days = context.placeDays.getDays(stage.to, place)
  const startDay = findStartDay(stage, journey, start.earliestAt, context.placeDays)
  const arrivedAt = (at: number): StageOutcome => {
    if (at < start.earliestAt) return 'outOfOrder'
    const steps = days.findStep(startDay, toLocalDay(at, days.calendar.zone))
    return steps > MAX_ARRIVAL_STEP ? { steps: NEVER, hasArrived: false } : { steps, hasArrived: true }
  }
  if (arrival) return arrivedAt(arrival.latestAt)
  if (isLaterReported(stage.to, milestones)) return 'notReported'
  if (ending !== null)
    switch (ARRIVAL_BY_ENDING[ending.kind]) {
      case 'never comes':
        return { steps: NEVER, hasArrived: false }
      case 'came':
        return observeRejection(stage, ending.at, arrivedAt, () =>
          countStepsBefore(ending.at, startDay, days),
        )
      case 'not awaited':
        if (!milestones.has('dispatched') && stageKind(stage) === 'plant') return 'neverEntered'
        return { steps: countStepsBefore(ending.at, startDay, days), hasArrived: false }
    }
  const cutoffAt = context.cutoffs.getCutoff(stage.to, place, days).at(context.knownAt)
  const steps = countStepsBefore(cutoffAt + 1, startDay, days)
  if (steps <= context.presumedLostSteps) return { steps, hasArrived: false }
  return { steps: NEVER, hasArrived: false, isPresumedLost: true }
}

/**
 * A laboratory rejects a sample that has reached it: the transit stage has ended, a laboratory stage is
 * censored.
 */
function observeRejection(
  stage: Stage,
  at: number,
  arrivedAt: (at: number) => StageOutcome,
  through: () => number,
): StageOutcome {
  if (stage.to === 'received') return arrivedAt(at)
  return stageKind(stage) === 'laboratory' ? { steps: through(), hasArrived: false } : 'notReported'
}

/** The last step that was over before the local day of `at` (ms UTC); -1 if the start day was not over. */
function countStepsBefore(at: number, startDay: number, days: OpenDays): number {
  const over = toLocalDay(at, days.calendar.zone) - 1
  return over < startDay ? -1 : days.countOpenDays(startDay, over)
}

function isLaterReported(milestone: Milestone, milestones: Known['milestones']): boolean {
  for (const reported of milestones.keys())
    if (MILESTONE_ORDER[reported] > MILESTONE_ORDER[milestone]) return true
  return false
}
