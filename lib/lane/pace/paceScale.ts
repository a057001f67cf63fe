import jStat from 'jstat'
import type { Counts } from '../model/stepCounter'

/**
 * A scale on which the pace of shipments can be charted.
 *
 * Steps are whole days and skewed: most shipments take two, a few take nine. A chart of days with
 * three-deviation limits raises many times the stated false alarms, always on the slow side, and its lower
 * limit is below zero. So each shipment is first placed within a reference distribution: the share before its
 * step plus half of the share on it (the mid-p value; ties are not broken at random, so the same facts always
 * give the same chart). Its score is the normal quantile of that place, centred and scaled to mean 0 and
 * deviation 1 under the reference. High is slow.
 *
 * A shipment under way has the mean score of all that arrive later in the reference than it is known to have
 * waited: about 0 on the first day, rising each day, and well above 0 past the median. The mean over all
 * shipments is then 0 however early it is computed; leaving those under way out would show the fast and hide
 * the slow.
 */
export interface PaceScale {
  /** Chance of each step under the reference; the last one stands for all later steps. */
  chances: readonly number[]
  /** Score of an arrival at each of these steps. */
  scores: readonly number[]
  /**
   * The score of an arrival at `steps`, or of a shipment known not to have arrived by their end (-1: nothing
   * known, 0).
   */
  getScore(steps: number, hasArrived: boolean): number
  /** How much of the full information a shipment gives: 0 if nothing is known, 1 if it has arrived. */
  shareKnown(steps: number, hasArrived: boolean): number
}

/** Scores are capped, so that one stray box does not make a change of pace. */
const MAX_SCORE = 3
/** A lane on which nearly all take the same days has almost no deviation; this is the minimum used. */
const MIN_DEVIATION = 0.5
const MIN_TAIL = 1e-6

/** `hazards` are the chances of arriving at step 0, 1, ... given not before. */
export function buildPaceScale(hazards: ArrayLike<number>): PaceScale {
  const chances: number[] = []
  const places: number[] = []
  let notYet = 1
  for (let step = 0; step <= hazards.length; step += 1) {
    const chance = step === hazards.length ? notYet : notYet * (hazards[step] as number)
    places.push(Math.min(Math.max(1 - notYet + chance / 2, MIN_TAIL), 1 - MIN_TAIL))
    chances.push(chance)
    notYet = Math.max(0, notYet - chance)
  }
  const scores = standardise(
    places.map((place) => jStat.normal.inv(place, 0, 1)),
    chances,
  )
  return { chances, scores, ...scoreWaiting(chances, scores) }
}

function standardise(quantiles: readonly number[], chances: readonly number[]): number[] {
  const centre = mean(quantiles, chances)
  const deviation = Math.sqrt(
    mean(
      quantiles.map((value) => (value - centre) ** 2),
      chances,
    ),
  )
  const scaled = quantiles.map((value) => {
    const score = (value - centre) / Math.max(deviation, MIN_DEVIATION)
    return Math.min(Math.max(score, -MAX_SCORE), MAX_SCORE)
  })
  const left = mean(scaled, chances)
  return scaled.map((score) => score - left)
}

function scoreWaiting(
  chances: readonly number[],
  scores: readonly number[],
): Pick<PaceScale, 'getScore' | 'shareKnown'> {
  const last = scores.length - 1
  const waiting = Array<number>(last + 1).fill(scores[last] as number)
  const known = Array<number>(last + 1).fill(1)
  const whole = mean(
    scores.map((score) => score ** 2),
    chances,
  )
  let [later, sum, squares] = [
    chances[last] as number,
    (chances[last] as number) * (scores[last] as number),
    0,
  ]
  for (let step = last - 1; step >= 0; step -= 1) {
    if (later > 0) waiting[step] = sum / later
    later += chances[step] as number
    sum += (chances[step] as number) * (scores[step] as number)
  }
  let notYet = 1
  for (let step = 0; step < last; step += 1) {
    squares += (chances[step] as number) * (scores[step] as number) ** 2
    notYet -= chances[step] as number
    if (whole > 0) known[step] = Math.min(1, (squares + notYet * (waiting[step] as number) ** 2) / whole)
  }
  return {
    getScore(steps, hasArrived) {
      if (hasArrived) return scores[Math.min(Math.max(steps, 0), last)] as number
      return steps < 0 ? 0 : (waiting[Math.min(steps, last)] as number)
    },
    shareKnown(steps, hasArrived) {
      if (hasArrived) return 1
      return steps < 0 ? 0 : (known[Math.min(steps, last)] as number)
    },
  }
}

function mean(values: readonly number[], chances: readonly number[]): number {
  return values.reduce((sum, value, index) => sum + value * (chances[index] as number), 0)
}

/**
 * Product-limit hazards of a reference, shrunk with one shipment's weight to one common hazard, so that no
 * unseen step is impossible.
 */
export function computeReferenceHazards({ arrived, atRisk }: Counts): number[] {
  const total = arrived.reduce((sum, count) => sum + count, 0)
  const exposed = atRisk.reduce((sum, count) => sum + count, 0)
  const overall = (total + 0.5) / (exposed + 1)
  return Array.from(arrived, (count, step) => (count + overall) / ((atRisk[step] as number) + 1))
}
