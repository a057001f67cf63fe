import jStat from 'jstat'
import type { Estimate } from './shrinkage'

/**
 * One step of a curve. Counts are the group's own; the hazard and all that follows from it include borrowed
 * data.
 */
export interface CurveStep {
  step: number
  atRisk: number
  arrived: number
  /** Chance of arriving at this step, given not before. */
  hazard: number
  /** Chance of not having arrived by the end of this step. */
  notYet: number
  /** Greenwood's standard error of `notYet`, borrowed shipments included; 0 if `notYet` is 0. */
  stdErr: number
}

/** Greenwood (1926): Var = S^2 sum d / (n (n - d)), which with h = d / n is S^2 sum h / (n (1 - h)). */
export function computeCurve({ arrived, atRisk, hazard, strength }: Estimate): CurveStep[] {
  let [notYet, sum] = [1, 0]
  return Array.from(hazard, (chance, step) => {
    notYet *= 1 - chance
    if (chance > 0) sum += chance / ((strength[step] as number) * (1 - chance))
    return {
      step,
      atRisk: atRisk[step] as number,
      arrived: arrived[step] as number,
      hazard: chance,
      notYet,
      stdErr: notYet > 0 ? notYet * Math.sqrt(sum) : 0,
    }
  })
}

/**
 * The equal-tailed credible interval of not having arrived by the end of `step`: the Beta distribution with the
 * mean and variance of the product. Its variance is that of independent hazards, plus what shared errors add by
 * the product's derivatives.
 */
export function computeInterval(
  { hazard, variance, shared }: Estimate,
  step: number,
  share: number,
): [number, number] {
  const stays = hazard.slice(0, step + 1).map((chance) => 1 - chance)
  const mean = stays.reduce((product, chance) => product * chance, 1)
  const square = stays.reduce((product, chance, at) => product * (chance ** 2 + (variance[at] as number)), 1)
  const slopes = stays.map((chance) => (chance > 0 ? mean / chance : 0))
  return betaInterval(mean, square - mean ** 2 + sharedVariance(slopes, shared), share)
}

/** What shared errors add to the variance of a quantity with derivatives `slopes` by the hazards. */
export function sharedVariance(slopes: ArrayLike<number>, shared: readonly ArrayLike<number>[]): number {
  let variance = 0
  for (const wrong of shared) {
    let [sum, squares] = [0, 0]
    for (let step = 0; step < slopes.length; step += 1) {
      const moved = (slopes[step] as number) * (wrong[step] ?? 0)
      sum += moved
      squares += moved * moved
    }
    variance += sum * sum - squares
  }
  return variance
}

/**
 * The equal-tailed interval that holds `share` of the Beta distribution with this mean and variance; the mean
 * twice if it is degenerate.
 */
export function betaInterval(mean: number, variance: number, share: number): [number, number] {
  const total = (mean * (1 - mean)) / variance - 1
  if (!(mean > 0 && mean < 1 && variance > 0 && total > 0 && Number.isFinite(total))) return [mean, mean]
  const tail = (1 - share) / 2
  return [
    quantile(tail, mean * total, (1 - mean) * total),
    quantile(1 - tail, mean * total, (1 - mean) * total),
  ]
}

/** jstat's quantile leaves [0, 1] for some shapes far below 1; bisection finds it then. */
function quantile(share: number, alpha: number, beta: number): number {
  const found = jStat.beta.inv(share, alpha, beta)
  if (found >= 0 && found <= 1) return found
  let [low, high] = [0, 1]
  for (let halving = 0; halving < 60; halving += 1) {
    const middle = (low + high) / 2
    if (jStat.ibeta(middle, alpha, beta) < share) low = middle
    else high = middle
  }
  return (low + high) / 2
}
