import type { Clock } from '@/lib/hold/clock'
import { DAY } from '@/lib/hold/zone'
import type { Journey } from '../model/journey'
import type { TransitModel } from '../model/transitModel'
import { computeDistribution, type ForecastDistribution } from './forecast'
import { findRemainingPath, type RemainingPath } from './remainingPath'

/** When a sample that is not received yet is likely to come to its laboratory, whatever its limits. */
export interface ArrivalForecast extends ForecastDistribution {
  /**
   * The local day of the laboratory by which nineteen of twenty like it had come, where that day has been spoken of
   * and it has not; null while it is not late, and before it is handed over.
   */
  lateSinceDay: number | null
}

/** Of a hundred like it, so many have come by the day from which it is late. */
const LATE_QUANTILE = 0.95

/** When a sample is likely to be received, as known at `now` (ms UTC); null where no record tells or it was received. */
export function forecastArrival(journey: Journey, model: TransitModel, now: number): ArrivalForecast | null {
  const path = findRemainingPath(createArrivalClock(now), journey, model, now)
  if (!path) return null
  const cutoffAt = path.cutoffAt(now)
  return { ...computeDistribution(path, cutoffAt), lateSinceDay: findLateSince(path, cutoffAt) }
}

/** A clock that waits for receipt only: its limit is so far away that it says nothing. */
function createArrivalClock(now: number): Clock {
  return {
    limit: { name: 'to receipt', from: 'produced', to: 'received', amount: 0, unit: 'hours' },
    startedAt: now,
    stoppedAt: null,
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
