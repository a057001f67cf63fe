import type { Clock } from '@/lib/hold/clock'
import { DAY } from '@/lib/hold/zone'
import type { Journey } from '../model/journey'
import type { TransitModel } from '../model/transitModel'
import { computeDistribution, type ForecastDistribution } from './forecast'
import { findRemainingPath, type RemainingPath } from './remainingPath'

/** When a sample that is not received yet is likely to reach its laboratory, whatever its limits. */
export interface ArrivalForecast extends ForecastDistribution {
  /**
   * The laboratory's local day by which 95 % of samples like it have arrived, if it has not arrived by then as
   * far as is known; null while it is not late, and before hand-over.
   */
  lateSinceDay: number | null
}

/** A sample is late after this quantile. */
const LATE_QUANTILE = 0.95

/** `now` in ms UTC. Null if there is no data, or the sample was received. */
export function forecastArrival(journey: Journey, model: TransitModel, now: number): ArrivalForecast | null {
  const path = findRemainingPath(createArrivalClock(now), journey, model, now)
  if (!path) return null
  const cutoffAt = path.cutoffAt(now)
  return { ...computeDistribution(path, cutoffAt), lateSinceDay: findLateSince(path, cutoffAt) }
}

/** A clock that stops at receipt; its due is too far away to matter. */
function createArrivalClock(now: number): Clock {
  return {
    limit: { name: 'to receipt', from: 'produced', to: 'received', amount: 0, unit: 'hours' },
    startedAt: now,
    stoppedAt: null,
    stoppedEarliestAt: null,
    earliestStopAt: null,
    dueAt: now + 366 * DAY,
    firstDueAt: null,
    isEnded: false,
    isNotReported: false,
  }
}

function findLateSince(path: RemainingPath, cutoffAt: number): number | null {
  if (path.stages[0]?.from !== 'dispatched') return null
  const { hazards } = path.firstLeg
  let [notYet, step] = [1, 0]
  for (; step < hazards.length; step += 1) {
    notYet *= 1 - (hazards[step] as number)
    if (notYet <= 1 - LATE_QUANTILE) break
  }
  if (path.progressAt(cutoffAt).step <= step) return null
  return path.firstLeg.daysFrom(path.startDay)[step] ?? null
}
