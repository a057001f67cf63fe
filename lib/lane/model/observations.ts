import { MILESTONE_ORDER, type Milestone } from '@/lib/hold/milestone'
import { localDay } from '@/lib/hold/zone'
import { ARRIVAL_AFTER, consignmentOf, type Journey, type Known } from './journey'
import type { LastWords } from './lastWord'
import type { Observation } from './observation'
import type { OpenDays } from './openDays'
import { type PlaceDays, reporterOf } from './reporter'
import { levelsOf, type Stage, stageKind } from './stage'
import { startDayOf } from './startDay'

/** A journey with what was known of it at the time of the record. */
export interface KnownJourney {
  journey: Journey
  known: Known
}

/** Where and when the stages of a record are seen from. */
export interface Standpoint {
  placeDays: PlaceDays
  words: LastWords
  /** ms UTC. */
  knownAt: number
  /** Under way for more open days than this, with nothing later: presumed lost. */
  presumedLostSteps: number
}

/** An observation, with what may have hurried or delayed it. Days are day numbers of whoever reports its end. */
export interface SeenStage extends Observation {
  /** Who reports its end. */
  place: string
  /** The day from which its steps are counted. */
  startDay: number
  /** The day of the first due of a clock that its end stops; null where there is none. */
  dueDay: number | null
  consignment: string | null
}

/** What a stage's past tells, and what of it was left out. */
export interface StageObservations {
  observations: SeenStage[]
  /** Arrived before they began. */
  outOfOrder: number
  /** Began, or arrived, without a report of it, as a later milestone shows. */
  notReported: number
  /** Cancelled before they were dispatched. */
  neverEntered: number
  /** Codes of samples under way for so long that they are presumed lost, in order. */
  presumedLost: string[]
}

/** An arrival later than this many steps is as good as none: a slip in a date, or nothing that a forecast can wait for. */
const FURTHEST_ARRIVAL = 100
const NEVER = Number.POSITIVE_INFINITY

type Seen =
  | { steps: number; hasArrived: boolean; isPresumedLost?: boolean }
  | 'outOfOrder'
  | 'notReported'
  | 'neverEntered'
  | null

/**
 * The observations of one stage. Samples of one consignment count as one observation together: each weighs 1/m, m
 * being how many of them were seen in this stage.
 */
export function observationsOf(
  stage: Stage,
  journeys: readonly KnownJourney[],
  standpoint: Standpoint,
): StageObservations {
  const found: StageObservations = {
    observations: [],
    outOfOrder: 0,
    notReported: 0,
    neverEntered: 0,
    presumedLost: [],
  }
  const sharing = new Map<string, SeenStage[]>()
  for (const { journey, known } of journeys) {
    const seen = seenIn(stage, journey, known, standpoint)
    if (seen === null) continue
    if (typeof seen === 'string') {
      found[seen] += 1
      continue
    }
    const observation = observationOf(stage, journey, known, seen, standpoint)
    found.observations.push(observation)
    if (seen.isPresumedLost) found.presumedLost.push(journey.code)
    const consignment = consignmentOf(journey)
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

function observationOf(
  stage: Stage,
  journey: Journey,
  known: Known,
  { steps, hasArrived }: { steps: number; hasArrived: boolean },
  { placeDays }: Standpoint,
): SeenStage {
  const startedAt = known.milestones.get(stage.from)?.earliestAt as number
  const place = reporterOf(stage.to, journey)
  const dueAt = journey.dueAts?.[stage.to]
  return {
    levels: levelsOf(stage, journey),
    startedAt,
    steps,
    hasArrived,
    weight: 1,
    place,
    startDay: startDayOf(stage, journey, startedAt, placeDays),
    dueDay: dueAt === undefined ? null : localDay(dueAt, placeDays.of(stage.to, place).calendar.zone),
    consignment: consignmentOf(journey),
  }
}

/** What one journey tells of a stage: nothing where it has not begun it. */
function seenIn(stage: Stage, journey: Journey, known: Known, standpoint: Standpoint): Seen {
  const { milestones, ending } = known
  const start = milestones.get(stage.from)
  const arrival = milestones.get(stage.to)
  if (!start) return arrival ? 'notReported' : null
  const place = reporterOf(stage.to, journey)
  const days = standpoint.placeDays.of(stage.to, place)
  const startDay = startDayOf(stage, journey, start.earliestAt, standpoint.placeDays)
  const arrivedAt = (at: number): Seen => {
    if (at < start.earliestAt) return 'outOfOrder'
    const steps = days.stepOf(startDay, localDay(at, days.calendar.zone))
    return steps > FURTHEST_ARRIVAL ? { steps: NEVER, hasArrived: false } : { steps, hasArrived: true }
  }
  if (arrival) return arrivedAt(arrival.latestAt)
  if (isLaterReported(stage.to, milestones)) return 'notReported'
  if (ending !== null)
    switch (ARRIVAL_AFTER[ending.kind]) {
      case 'never comes':
        return { steps: NEVER, hasArrived: false }
      case 'came':
        return afterRejection(stage, ending.at, arrivedAt, () => throughDayBefore(ending.at, startDay, days))
      case 'not awaited':
        if (!milestones.has('dispatched') && stageKind(stage) === 'plant') return 'neverEntered'
        return { steps: throughDayBefore(ending.at, startDay, days), hasArrived: false }
    }
  const word = standpoint.words.of(stage.to, place, days).at(standpoint.knownAt)
  const steps = throughDayBefore(word + 1, startDay, days)
  if (steps <= standpoint.presumedLostSteps) return { steps, hasArrived: false }
  return { steps: NEVER, hasArrived: false, isPresumedLost: true }
}

/** A laboratory rejects what has come to it: in transit it has arrived, at the laboratory it is seen no further. */
function afterRejection(
  stage: Stage,
  at: number,
  arrivedAt: (at: number) => Seen,
  through: () => number,
): Seen {
  if (stage.to === 'received') return arrivedAt(at)
  return stageKind(stage) === 'laboratory' ? { steps: through(), hasArrived: false } : 'notReported'
}

/** The last step that was over before the local day of `at` (ms UTC) began; -1 where the start's day was not. */
function throughDayBefore(at: number, startDay: number, days: OpenDays): number {
  const over = localDay(at, days.calendar.zone) - 1
  return over < startDay ? -1 : days.openBetween(startDay, over)
}

function isLaterReported(milestone: Milestone, milestones: Known['milestones']): boolean {
  for (const reported of milestones.keys())
    if (MILESTONE_ORDER[reported] > MILESTONE_ORDER[milestone]) return true
  return false
}
