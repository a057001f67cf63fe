import { type Clock, stateAt } from '@/lib/hold/clock'
import { DEFAULT_THRESHOLDS, type Thresholds } from '@/lib/hold/standing'
import { MINUTE } from '@/lib/hold/zone'
import type { Journey } from '../model/journey'
import { lastOpenBefore } from '../model/openDays'
import type { LaneRecord } from '../model/record'
import { isReportedByPlant } from '../model/reporter'
import { type Approach, approachOf } from './approach'

/**
 * The chance that a clock stops after its due, or never, as seen at `now` (ms UTC): 0 once it has kept its limit, 1
 * once it has lapsed or overrun. Null where it neither runs nor has stopped, or where there is no record to tell from.
 */
export function riskOf(clock: Clock, journey: Journey, record: LaneRecord, now: number): number | null {
  const state = stateAt(clock, now)
  if (state === 'kept') return 0
  if (state === 'lapsed' || state === 'overrun') return 1
  const approach = approachOf(clock, journey, record, now)
  return approach ? approach.riskGiven(approach.wordAt(now)) : null
}

/** When a running clock's standing worsens by its risk if nothing new is reported, at its due at the latest. ms UTC. */
export interface RiskTurns {
  tightAt: number
  atRiskAt: number
}

/**
 * The instants from `now` to the due (ms UTC) at which the risk of a running clock first reaches the thresholds,
 * nothing new being reported; to the minute. Where no receiving hours are left before the due it is at risk whatever
 * the chance. Null where there is no forecast.
 */
export function turnsByRisk(
  clock: Clock,
  journey: Journey,
  record: LaneRecord,
  now: number,
  thresholds: Thresholds = DEFAULT_THRESHOLDS,
): RiskTurns | null {
  const approach = approachOf(clock, journey, record, now)
  if (!approach) return null
  const closesAt = closesForGoodAt(approach, journey.laboratory, record)
  const lastCall = closesAt === null ? approach.dueAt : Math.max(now, closesAt)
  const tightAt = firstReached(approach, now, thresholds.tight)
  const atRiskAt = firstReached(approach, tightAt, thresholds.atRisk)
  return { tightAt: Math.min(tightAt, lastCall), atRiskAt: Math.min(atRiskAt, lastCall) }
}

/** The end of the last receiving hours before the due; null where the stop does not wait for any, or the due is in them. */
export function closesForGoodAt(approach: Approach, laboratory: string, record: LaneRecord): number | null {
  const { stage, days } = approach.lastLeg
  if (isReportedByPlant(stage.to)) return null
  const hours = record.placeDays.places.hours(laboratory)
  const closesAt = lastOpenBefore(approach.dueAt, hours, days)
  return closesAt < approach.dueAt ? closesAt : null
}

/** The first instant, to the minute, in [now, due] at which the risk is that high: since it never falls, by halving. */
function firstReached(approach: Approach, now: number, threshold: number): number {
  const isReached = (at: number) => approach.riskGiven(approach.wordAt(at)) >= threshold
  if (isReached(now)) return now
  // On the due itself nothing is left, so the risk is 1.
  let [not, reached] = [now, approach.dueAt]
  while (reached - not > MINUTE) {
    const middle = Math.floor((not + reached) / 2)
    if (isReached(middle)) reached = middle
    else not = middle
  }
  return reached
}
