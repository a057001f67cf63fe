import { type Clock, stateAt } from '@/lib/hold/clock'
import { DEFAULT_THRESHOLDS, type Thresholds } from '@/lib/hold/standing'
import { lastInstantOf, localDay, MINUTE } from '@/lib/hold/zone'
import { type Approach, approachOf } from './approach'
import type { Journey } from './journey'
import { lastOpenBefore } from './openHours'
import type { LaneRecord } from './record'
import { isReportedByPlant } from './reporter'

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

/** When a running clock's standing worsens by its risk if nothing new is reported. Instants in ms UTC, null for never. */
export interface RiskTurns {
  tightAt: number | null
  atRiskAt: number | null
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
  const lastCall = closesAt === null ? null : Math.max(now, closesAt)
  const tightAt = earlier(firstReached(approach, now, thresholds.tight), lastCall)
  return { tightAt, atRiskAt: earlier(firstReached(approach, now, thresholds.atRisk), lastCall) }
}

/** The end of the last receiving hours before the due; null where the stop does not wait for any, or the due is in them. */
export function closesForGoodAt(approach: Approach, laboratory: string, record: LaneRecord): number | null {
  const { stage, days } = approach.lastLeg
  if (isReportedByPlant(stage.to)) return null
  const hours = record.placeDays.places.hours(laboratory)
  const closesAt = lastOpenBefore(approach.dueAt, hours, days)
  return closesAt < approach.dueAt ? closesAt : null
}

function firstReached(approach: Approach, now: number, threshold: number): number | null {
  const isReached = (at: number) => approach.riskGiven(approach.wordAt(at)) >= threshold
  if (isReached(now)) return now
  let before = now
  for (const at of instantsToLookAt(approach, now)) {
    if (isReached(at)) return bisected(before, at, isReached)
    before = at
  }
  return null
}

/** The ends of the days up to the due, and when each of them will have been spoken of, in order. */
function instantsToLookAt(approach: Approach, now: number): number[] {
  const { word, zone } = approach.firstLeg
  const delay = word.delay ?? 0
  const instants = new Set<number>([approach.dueAt])
  for (let day = localDay(now - delay, zone); ; day += 1) {
    const over = lastInstantOf(day, zone) + 1
    if (over > approach.dueAt) break
    for (const at of [over, over + delay]) if (at > now && at < approach.dueAt) instants.add(at)
  }
  return [...instants].sort((a, b) => a - b)
}

/** The first instant, to the minute, in (low, high] at which it is reached; it is at `high`, and not at `low`. */
function bisected(low: number, high: number, isReached: (at: number) => boolean): number {
  let [not, reached] = [low, high]
  while (reached - not > MINUTE) {
    const middle = Math.floor((not + reached) / 2)
    if (isReached(middle)) reached = middle
    else not = middle
  }
  return reached
}

function earlier(a: number | null, b: number | null): number | null {
  if (a === null || b === null) return a ?? b
  return Math.min(a, b)
}
