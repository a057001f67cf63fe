import { type Clock, getClockState } from '@/lib/hold/clock'
import { MILESTONE_ORDER } from '@/lib/hold/milestone'
import { toLocalDay } from '@/lib/hold/zone'
import { type Chain, remainingHazard } from '../model/chain'
import { findKnownAt, type Journey } from '../model/journey'
import type { Leg } from '../model/leg'
import { listRemainingStages, type Stage } from '../model/stage'
import { findStartDay } from '../model/startDay'
import type { TransitModel, WeightedChain } from '../model/transitModel'

/** Where the first leg of an approach stands: what its reporter has spoken of is behind it. */
export interface Progress {
  /** The first step that is left, whole or in part. */
  step: number
  /** The share of that step's day that has been spoken of, 0 to 1 (1 not included). */
  observedShare: number
  /** Nothing happened up to this instant, ms UTC. */
  observedUntilAt: number
}

/** A running clock on its way to its stop: from the last reported milestone, by one or several courses. */
export class RemainingPath {
  readonly stages: readonly Stage[]
  readonly weightedChains: readonly WeightedChain[]
  /** Of these two, all courses have the same place, days and reporter. */
  readonly firstLeg: Leg
  readonly lastLeg: Leg
  /** When the first leg began, ms UTC, and the day from which its steps are counted. */
  readonly startedAt: number
  readonly startDay: number
  readonly dueAt: number
  /** The local day of the due where the stop is reported. */
  readonly dueDay: number
  /** The day of the first due of the sample's clocks that the same stop is waited for by. */
  readonly earliestDueDay: number
  /** As it was last asked for: it changes with the word on the due's day only. */
  #inTime: { dueShare: number; byCourse: Float64Array[] } | null = null

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

  /** Where the first leg stands if nothing happened up to `word` (ms UTC). */
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

  /** The share of what stops on the due's day that stops before the due, given nothing up to `after`. */
  dueShare(after: number): number {
    return this.lastLeg.times.shareAfter(this.dueDay, after, this.dueAt)
  }

  /**
   * The chance, given nothing up to `word` (ms UTC), that the stop comes after the due or never. It never falls as the
   * word goes on: what is left after it is what is left after an earlier one, without what has gone by.
   */
  riskAt(cutoffAt: number): number {
    const { step: first, observedShare, observedUntilAt } = this.progressAt(cutoffAt)
    const inTime = this.chancesInTime(this.dueShare(observedUntilAt))
    let chance = 0
    for (let index = 0; index < this.weightedChains.length; index += 1) {
      const { chain, share } = this.weightedChains[index] as WeightedChain
      const hazards = chain.leg.hazardsFrom(this.startDay, this.earliestDueDay)
      const ofCourse = inTime[index] as Float64Array
      let notYet = share
      for (let step = first; step < ofCourse.length; step += 1) {
        const whole = hazards[step] as number
        const hazard = step === first ? remainingHazard(whole, observedShare) : whole
        chance += notYet * hazard * (ofCourse[step] as number)
        notYet *= 1 - hazard
      }
    }
    return Math.min(1, Math.max(0, 1 - chance))
  }

  /** For each course, the chance to be in time by the step at which the first leg ends; none after the due's day. */
  chancesInTime(dueShare: number): readonly Float64Array[] {
    if (this.#inTime?.dueShare === dueShare) return this.#inTime.byCourse
    const byCourse = this.weightedChains.map(({ chain }) => {
      const days = chain.leg.daysFrom(this.startDay)
      let steps = 0
      while (steps < days.length && (days[steps] as number) <= this.dueDay) steps += 1
      const chances = new Float64Array(steps)
      for (let step = 0; step < steps; step += 1)
        chances[step] = chain.chanceInTime(days[step] as number, this.dueDay, dueShare, this.earliestDueDay)
      return chances
    })
    this.#inTime = { dueShare, byCourse }
    return byCourse
  }
}

/**
 * How a clock that runs at `now` (ms UTC) approaches its stop, by what was known of the sample then. Null where it
 * does not run, where the stop was passed without a report, or where nothing is known of a stage that it needs.
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
