import { type Chain, remainingHazard } from '../model/chain'
import type { Leg } from '../model/leg'
import { sharedVariance } from '../model/survivalCurve'
import type { Progress, RemainingPath } from './remainingPath'

/** The derivatives of the risk by each hazard of a leg, and the variances of the hazards. */
interface Slope {
  variances: Float64Array
  shared: readonly Float64Array[]
  byStep: Float64Array
}

/** A start of a leg and its chance; `progress` only for the leg that has begun. */
interface Start {
  day: number
  chance: number
  progress: Progress | null
}

/** The due in the zone where the stop is reported. */
interface Due {
  day: number
  share: number
  earliestDay: number
}

/**
 * The variance of the risk that comes from uncertain hazards, by the delta method: variance times squared
 * derivative, summed over the hazards, plus what errors shared within a leg add. A hazard used by several
 * chains or days counts once.
 */
export function computeRiskVariance(path: RemainingPath, cutoffAt: number): number {
  const progress = path.progressAt(cutoffAt)
  const dueShare = path.dueShare(progress.observedUntilAt)
  const slopes = new Map<string, Slope>()
  for (const { chain, share } of path.weightedChains) {
    const start: Start = { day: path.startDay, chance: share, progress }
    addSlopes(slopes, chain, [start], {
      day: path.dueDay,
      share: dueShare,
      earliestDay: path.earliestDueDay,
    })
  }
  let variance = 0
  for (const { variances, shared, byStep } of slopes.values()) {
    for (let step = 0; step < byStep.length; step += 1)
      variance += (variances[step] as number) * (byStep[step] as number) ** 2
    variance += sharedVariance(byStep, shared)
  }
  return variance
}

function addSlopes(slopes: Map<string, Slope>, chain: Chain, starts: readonly Start[], due: Due): void {
  const slope = getSlope(slopes, chain.leg)
  const ends = new Map<number, number>()
  for (const start of starts) {
    const days = chain.leg.daysFrom(start.day)
    const first = start.progress?.step ?? 0
    const wholes = chain.leg.hazardsFrom(start.day, due.earliestDay)
    const moved = chain.leg.slopesFrom(start.day, due.earliestDay)
    const hazards: number[] = []
    const inTime: number[] = []
    for (let step = first; step < days.length && (days[step] as number) <= due.day; step += 1) {
      const whole = wholes[step] as number
      hazards.push(
        step === first && start.progress ? remainingHazard(whole, start.progress.observedShare) : whole,
      )
      inTime.push(chain.chanceInTime(days[step] as number, due.day, due.share, due.earliestDay))
    }
    // The chance to be in time after each step has passed; 0 after the due's day.
    const after = new Float64Array(hazards.length)
    for (let at = hazards.length - 1; at > 0; at -= 1) {
      const hazard = hazards[at] as number
      after[at - 1] = hazard * (inTime[at] as number) + (1 - hazard) * (after[at] as number)
    }
    let reached = start.chance
    for (let at = 0; at < hazards.length; at += 1) {
      const step = first + at
      const hazard = hazards[at] as number
      const left =
        at === 0 && start.progress
          ? remainingHazardDerivative(wholes[step] as number, start.progress.observedShare)
          : 1
      const derivative = left * (moved?.[step] ?? 1)
      slope.byStep[step] =
        (slope.byStep[step] as number) +
        reached * ((after[at] as number) - (inTime[at] as number)) * derivative
      const day = days[step] as number
      ends.set(day, (ends.get(day) ?? 0) + reached * hazard)
      reached *= 1 - hazard
    }
  }
  if (chain.next) addSlopes(slopes, chain.next, listNextStarts(chain, ends), due)
}

function listNextStarts(chain: Chain, ends: ReadonlyMap<number, number>): Start[] {
  const starts = new Map<number, number>()
  for (const [day, chance] of ends)
    for (const begun of chain.nextStartsAfter(day))
      starts.set(begun.day, (starts.get(begun.day) ?? 0) + chance * begun.share)
  return [...starts].map(([day, chance]) => ({ day, chance, progress: null }))
}

/** The derivative of a step's remaining hazard by its whole hazard. */
function remainingHazardDerivative(whole: number, observedShare: number): number {
  const left = 1 - whole * observedShare
  return left > 0 ? (1 - observedShare) / left ** 2 : 0
}

function getSlope(slopes: Map<string, Slope>, { key, variances, shared }: Leg): Slope {
  let slope = slopes.get(key)
  if (!slope) {
    slope = { variances, shared, byStep: new Float64Array(variances.length) }
    slopes.set(key, slope)
  }
  return slope
}
