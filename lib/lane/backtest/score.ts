/** One forecast's value, its share of a consignment, and the cluster it belongs to. */
export interface WeightedValue {
  value: number
  weight: number
  /** Errors may be correlated within a cluster, but not between clusters. */
  cluster: string
}

/** A mean with its standard error; null for fewer than two clusters. */
export interface Mean {
  mean: number
  stdErr: number | null
}

/**
 * The weighted mean with its cluster-robust standard error (linearised ratio estimator with the usual G / (G -
 * 1)). Deviations within a cluster are summed before they are squared, so that forecasts that err together do
 * not count as independent. NaN if there are no values.
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

/** A chance that was forecast, and the outcome. */
export interface Prediction {
  /** 0 to 1. */
  chance: number
  isLate: boolean
  /** The consignment it travelled with, or the sample alone. */
  consignment: string
  weight: number
  cluster: string
}

/** Squared difference between chance and outcome: 0 best, 1 worst. */
function computeBrier({ chance, isLate }: Pick<Prediction, 'chance' | 'isLate'>): number {
  return (chance - (isLate ? 1 : 0)) ** 2
}

/** The mean Brier score with its clustered standard error. */
export function brierScore(predictions: readonly Prediction[]): Mean {
  return clusteredMean(
    predictions.map((one) => ({ value: computeBrier(one), weight: one.weight, cluster: one.cluster })),
  )
}

/** How our forecasts compare with another method's. */
export interface Comparison {
  /** The other method's mean Brier score. */
  score: Mean
  /** The other's score minus ours: above 0 if ours is better. */
  gain: Mean
  /** 1 - ours / the other's: 1 is perfect, 0 no better than the other; null if the other made no error. */
  skill: number | null
  /** Which is more accurate, and whether by more than two standard errors of the difference. */
  nearer: 'ours' | 'other' | 'neither'
  isBeyondChance: boolean
}

/** `other[i]` is the other method's chance for `predictions[i]`. */
export function compare(predictions: readonly Prediction[], other: readonly number[]): Comparison {
  const others = predictions.map((one, index) => ({ ...one, chance: other[index] as number }))
  const gains = predictions.map((one, index) => ({
    value: computeBrier(others[index] as Prediction) - computeBrier(one),
    weight: one.weight,
    cluster: one.cluster,
  }))
  const [ours, score, gain] = [brierScore(predictions), brierScore(others), clusteredMean(gains)]
  return {
    score,
    gain,
    skill: score.mean > 0 ? 1 - ours.mean / score.mean : null,
    nearer: gain.mean > 0 ? 'ours' : gain.mean < 0 ? 'other' : 'neither',
    isBeyondChance: gain.stdErr !== null && Math.abs(gain.mean) > 2 * gain.stdErr,
  }
}
