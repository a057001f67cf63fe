/** A number that stands for one forecast, with the weight of its part in a consignment and what it may depend on. */
export interface WeightedValue {
  value: number
  weight: number
  /** Forecasts of one cluster may have erred together; those of two have not. */
  cluster: string
}

/** A mean with its standard error; null where fewer than two clusters say nothing of how far it scatters. */
export interface Mean {
  mean: number
  stdErr: number | null
}

/**
 * The weighted mean, and its standard error from the sums of each cluster's deviations (the linearised ratio estimator,
 * with the usual G / (G - 1)). Deviations inside a cluster add up before they are squared, so forecasts that err
 * together do not pass for so many witnesses. NaN where there is nothing.
 */
export function clusteredMean(values: readonly WeightedValue[]): Mean {
  let [sum, weights] = [0, 0]
  for (const { value, weight } of values) {
    sum += weight * value
    weights += weight
  }
  const mean = sum / weights
  const deviations = new Map<string, number>()
  for (const { value, weight, cluster } of values)
    deviations.set(cluster, (deviations.get(cluster) ?? 0) + weight * (value - mean))
  const clusters = deviations.size
  if (clusters < 2) return { mean, stdErr: null }
  let squares = 0
  for (const deviation of deviations.values()) squares += deviation * deviation
  return { mean, stdErr: Math.sqrt((squares * clusters) / (clusters - 1)) / weights }
}

/** A chance that was said, and what came. */
export interface Prediction {
  /** 0 to 1. */
  chance: number
  isLate: boolean
  /** What it travelled with. */
  consignment: string
  weight: number
  cluster: string
}

/** Brier's score of one forecast: the squared distance of the chance from what came, 0 best, 1 worst. */
function computeBrier({ chance, isLate }: Pick<Prediction, 'chance' | 'isLate'>): number {
  return (chance - (isLate ? 1 : 0)) ** 2
}

/** The mean Brier score of forecasts, with its clustered standard error. */
export function brierScore(said: readonly Prediction[]): Mean {
  return clusteredMean(
    said.map((one) => ({ value: computeBrier(one), weight: one.weight, cluster: one.cluster })),
  )
}

/** How a forecast compares with another one of the same things. */
export interface Comparison {
  /** The other's mean Brier score. */
  score: Mean
  /** The other's score less ours: above 0 where ours came nearer. */
  gain: Mean
  /** 1 - ours / the other's: 1 is perfect, 0 no better than the other; null where the other made no error at all. */
  skill: number | null
  /** Which came nearer, and whether by more than two standard errors of the difference. */
  nearer: 'ours' | 'other' | 'neither'
  isBeyondChance: boolean
}

/** Ours against another forecast: `other[i]` is the chance that it gave for what `said[i]` is about. */
export function compare(said: readonly Prediction[], other: readonly number[]): Comparison {
  const others = said.map((one, index) => ({ ...one, chance: other[index] as number }))
  const gains = said.map((one, index) => ({
    value: computeBrier(others[index] as Prediction) - computeBrier(one),
    weight: one.weight,
    cluster: one.cluster,
  }))
  const [ours, score, gain] = [brierScore(said), brierScore(others), clusteredMean(gains)]
  return {
    score,
    gain,
    skill: score.mean > 0 ? 1 - ours.mean / score.mean : null,
    nearer: gain.mean > 0 ? 'ours' : gain.mean < 0 ? 'other' : 'neither',
    isBeyondChance: gain.stdErr !== null && Math.abs(gain.mean) > 2 * gain.stdErr,
  }
}
