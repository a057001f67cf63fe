import { type Clock, getClockState } from '@/lib/hold/clock'
import { findLastOpenInstant } from '@/lib/hold/openHours'
import { DEFAULT_THRESHOLDS, type Thresholds } from '@/lib/hold/standing'
import { MINUTE } from '@/lib/hold/zone'
import type { Journey } from '../model/journey'
import { isReportedByPlant } from '../model/reporter'
import type { TransitModel } from '../model/transitModel'
import { findRemainingPath, type RemainingPath } from './remainingPath'

/**
 * The chance that a clock stops after its due or never, as of `now` (ms UTC): 0 once it has kept its limit, 1
 * once it has lapsed or overrun. Null if it neither runs nor has stopped, or there is no data.
 */
export function computeRisk(clock: Clock, journey: Journey, model: TransitModel, now: number): number | null {
  const state = getClockState(clock, now)
  if (state === 'kept') return 0
  if (state === 'lapsed' || state === 'overrun') return 1
  const path = findRemainingPath(clock, journey, model, now)
  return path ? path.riskAt(path.cutoffAt(now)) : null
}

/**
 * When a running clock becomes tight and at risk if nothing new is reported; at its due at the latest. ms UTC.
 */
export interface RiskThresholdTimes {
  tightAt: number
  atRiskAt: number
}

/**
 * The instants from `now` to the due (ms UTC), to the minute, at which the risk of a running clock first
 * reaches the thresholds if nothing new is reported. It is at risk from the last receiving hours before the
 * due, whatever the chance. Null if there is no forecast.
 */
export function findRiskThresholdTimes(
  clock: Clock,
  journey: Journey,
  model: TransitModel,
  now: number,
  thresholds: Thresholds = DEFAULT_THRESHOLDS,
): RiskThresholdTimes | null {
  const path = findRemainingPath(clock, journey, model, now)
  if (!path) return null
  const closesAt = findLastClosing(path, journey.laboratory, model)
  const lastCall = closesAt === null ? path.dueAt : Math.max(now, closesAt)
  const tightAt = findFirstReached(path, now, thresholds.tight)
  const atRiskAt = findFirstReached(path, tightAt, thresholds.atRisk)
  return { tightAt: Math.min(tightAt, lastCall), atRiskAt: Math.min(atRiskAt, lastCall) }
}

/**
 * The end of the last receiving hours before the due; null if the stop needs none, or the due is within them.
 */
export function findLastClosing(path: RemainingPath, laboratory: string, model: TransitModel): number | null {
  const { stage, days } = path.lastLeg
  if (isReportedByPlant(stage.to)) return null
  const hours = model.placeDays.places.hours(laboratory)
  const closesAt = findLastOpenInstant(path.dueAt, hours, days.calendar)
  return closesAt < path.dueAt ? closesAt : null
}

/**
 * The first instant in [now, due], to the minute, with this risk. The risk never falls, so bisection finds it.
 */
function findFirstReached(path: RemainingPath, now: number, threshold: number): number {
  const isReached = (at: number) => path.riskAt(path.cutoffAt(at)) >= threshold
  if (isReached(now)) return now
  // At the due itself the risk is 1.
  let [not, reached] = [now, path.dueAt]
  while (reached - not > MINUTE) {
    const middle = Math.floor((not + reached) / 2)
    if (isReached(middle)) reached = middle
    else not = middle
  }
  return reached
}
