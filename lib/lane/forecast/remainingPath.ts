import { type Clock, getClockState } from '@/lib/hold/clock'
import { MILESTONE_ORDER } from '@/lib/hold/milestone'
import { toLocalDay } from '@/lib/hold/zone'
import { type Chain, remainingHazard } from '../model/chain'
import { findKnownAt, type Journey } from '../model/journey'
import type { Leg } from '../model/leg'
import { listRemainingStages, type Stage } from '../model/stage'
import { findStartDay } from '../model/startDay'
import type { TransitModel, WeightedChain } from '../model/transitModel'

/** How far the first leg of a path has been observed. */
export interface Progress {
  /** The first step that is left, whole or in part. */
  step: number
  /** The share of that step's day that has passed without the event, from 0 to below 1. */
  observedShare: number
  /** Nothing happened up to this instant, ms UTC. */
  observedUntilAt: number
}

/** The way of a running clock from its last reported milestone to its stop, by one or several chains. */
export class RemainingPath {
  readonly stages: readonly Stage[]
  readonly weightedChains: readonly WeightedChain[]
  /** All chains have the same place, days and reporter in their first and last leg. */
  readonly firstLeg: Leg
  readonly lastLeg: Leg
  /** When the first leg began, ms UTC, and the day from which its steps are counted. */
  readonly startedAt: number
  readonly startDay: number
  readonly dueAt: number
  /** The local day of the due where the stop is reported. */
  readonly dueDay: number
  /** The local day of the first due among the sample's clocks that the same stop ends. */
  readonly earliestDueDay: number
  /** The latest answer; it changes only on the due's day. */
  #inTime: { dueShare: number; byChain: Float64Array[] } | null = null

  constructor(
    stages: readonly Stage[],
    chains: readonly WeightedChain[],
    start: { at: number; day: number },
    dueAt: number,
    earliestDueAt: number = dueAt,
  ) {
    this.stages = stages
    this.weightedChains = chains
    const chain = chains[0]?.chain as Chain
    this.firstLeg = chain.leg
    this.lastLeg = chain.lastLeg
    this.startedAt = start.at
    this.startDay = start.day
    this.dueAt = dueAt
    this.dueDay = toLocalDay(dueAt, this.lastLeg.zone)
    this.earliestDueDay = toLocalDay(Math.min(earliestDueAt, dueAt), this.lastLeg.zone)
  }

  /** The instant (ms UTC) up to which the end of the first leg would be known at `now`. */
  cutoffAt(now: number): number {
    return this.firstLeg.cutoff.at(now)
  }

  /** How far the first leg is if it has not ended by `cutoffAt` (ms UTC). */
  progressAt(cutoffAt: number): Progress {
    const { days, times, zone } = this.firstLeg
    const after = Math.max(cutoffAt, this.startedAt)
    const cutoffDay = toLocalDay(cutoffAt, zone)
    if (cutoffDay < this.startDay) return { step: 0, observedShare: 0, observedUntilAt: after }
    const step = cutoffDay === this.startDay ? 0 : days.countOpenDays(this.startDay, cutoffDay - 1) + 1
    const day = this.firstLeg.daysFrom(this.startDay)[step]
    const isPart = day === cutoffDay
    const observedShare = isPart ? times.shareAfter(cutoffDay, this.startedAt, cutoffAt) : 0
    return observedShare < 1
      ? { step, observedShare, observedUntilAt: after }
      : { step: step + 1, observedShare: 0, observedUntilAt: after }
  }

  /** The share of the stops on the due's day that come before the due, given none before `after`. */
  dueShare(after: number): number {
    return this.lastLeg.times.shareAfter(this.dueDay, after, this.dueAt)
  }

  /**
   * The chance that the stop comes after the due or never, given that it has not come by `cutoffAt` (ms UTC).
   * It never falls as the cutoff moves on.
   */
  riskAt(cutoffAt: number): number {
    const { step: first, observedShare, observedUntilAt } = this.progressAt(cutoffAt)
    const inTime = this.chancesInTime(this.dueShare(observedUntilAt))
    let chance = 0
    for (let index = 0; index < this.weightedChains.length; index += 1) {
      const { chain, share } = this.weightedChains[index] as WeightedChain
      const hazards = chain.leg.hazardsFrom(this.startDay, this.earliestDueDay)
      const chances = inTime[index] as Float64Array
      let notYet = share
      for (let step = first; step < chances.length; step += 1) {
        const whole = hazards[step] as number
        const hazard = step === first ? remainingHazard(whole, observedShare) : whole
        chance += notYet * hazard * (chances[step] as number)
        notYet *= 1 - hazard
      }
    }
    return Math.min(1, Math.max(0, 1 - chance))
  }

  /** By chain: the chance to be in time, by the step at which the first leg ends; empty after the due's day. */
  chancesInTime(dueShare: number): readonly Float64Array[] {
    if (this.#inTime?.dueShare === dueShare) return this.#inTime.byChain
    const byChain = this.weightedChains.map(({ chain }) => {
      const days = chain.leg.daysFrom(this.startDay)
      let steps = 0
      while (steps < days.length && (days[steps] as number) <= this.dueDay) steps += 1
      const chances = new Float64Array(steps)
      for (let step = 0; step < steps; step += 1)
        chances[step] = chain.chanceInTime(days[step] as number, this.dueDay, dueShare, this.earliestDueDay)
      return chances
    })
    this.#inTime = { dueShare, byChain }
    return byChain
  }
}

/**
 * The way to its stop of a clock that runs at `now` (ms UTC), by what was known of the sample then. Null if it
 * does not run, if the stop was passed unreported, or if there is no data on a stage that it needs.
 */
export function findRemainingPath(
  clock: Clock,
  journey: Journey,
  model: TransitModel,
  now: number,
): RemainingPath | null {
  if (getClockState(clock, now) !== 'running') return null
  const { milestones } = findKnownAt(journey, now)
  const stop = clock.limit.to
  for (const milestone of milestones.keys())
    if (MILESTONE_ORDER[milestone] >= MILESTONE_ORDER[stop]) return null
  const stages = listRemainingStages((milestone) => milestones.has(milestone), stop)
  const chains = model.chains.findWeightedChains(stages, journey)
  if (!chains) return null
  const first = stages[0] as Stage
  const startedAt = milestones.get(first.from)?.earliestAt as number
  const day = findStartDay(first, journey, startedAt, model.placeDays)
  return new RemainingPath(
    stages,
    chains,
    { at: startedAt, day },
    clock.dueAt as number,
    journey.dueAts?.[stop],
  )
}
