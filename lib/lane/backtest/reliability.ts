import { clusteredMean, type Prediction } from './score'

/** Forecasts with about the same chance, and how many came true. */
export interface ReliabilityBin {
  /** The bin holds chances from `from` to below `to`; the last bin includes 1. */
  from: number
  to: number
  /** Mean chance forecast. */
  predicted: number
  /** Share that was late. */
  observed: number
  /** 90 % Wilson (1927) interval of the share, for the effective number of independent forecasts. */
  low: number
  high: number
  forecasts: number
  consignments: number
  /** Effective number of independent forecasts. */
  effective: number
}

/** Narrow where decisions are made: 5 % is tight, 20 % at risk. */
const BIN_EDGES: readonly number[] = [0, 0.02, 0.05, 0.1, 0.2, 0.35, 0.5, 0.65, 0.8, 0.95, 1]

/** 95th percentile of the normal distribution: 90 % lie between. */
const Z_90 = 1.6448536269514722

/** Empty bins are left out. */
export function computeReliability(
  predictions: readonly Prediction[],
  edges: readonly number[] = BIN_EDGES,
): ReliabilityBin[] {
  const last = edges.length - 2
  const bins: Prediction[][] = Array.from({ length: last + 1 }, () => [])
  for (const one of predictions) {
    const above = edges.findIndex((edge) => one.chance < edge)
    bins[above === -1 ? last : above - 1]?.push(one)
  }
  return bins.flatMap((bin, index) =>
    bin.length === 0 ? [] : [computeBin(bin, edges[index] as number, edges[index + 1] as number)],
  )
}

function computeBin(bin: readonly Prediction[], from: number, to: number): ReliabilityBin {
  const late = clusteredMean(
    bin.map(({ isLate, weight, cluster }) => ({ value: isLate ? 1 : 0, weight, cluster })),
  )
  let [weights, squares, saidSum] = [0, 0, 0]
  for (const { weight, chance } of bin) {
    weights += weight
    squares += weight * weight
    saidSum += weight * chance
  }
  const effective = computeEffectiveCount(
    late.mean,
    late.stdErr,
    weights ** 2 / squares,
    countDistinct(bin, 'cluster'),
  )
  return {
    from,
    to,
    predicted: saidSum / weights,
    observed: late.mean,
    ...wilson(late.mean, effective),
    forecasts: bin.length,
    consignments: countDistinct(bin, 'consignment'),
    effective,
  }
}

/**
 * The number of independent forecasts with the variance of these clusters: at most Kish's effective sample
 * size, and one for each cluster if all outcomes are equal and show no variance.
 */
function computeEffectiveCount(share: number, stdErr: number | null, kish: number, clusters: number): number {
  if (stdErr === null) return 1
  if (stdErr === 0) return Math.min(kish, clusters)
  return Math.min(kish, 1 + (share * (1 - share)) / stdErr ** 2)
}

function countDistinct(bin: readonly Prediction[], what: 'cluster' | 'consignment'): number {
  return new Set(bin.map((one) => one[what])).size
}

function wilson(share: number, count: number): { low: number; high: number } {
  const square = Z_90 ** 2
  const middle = (share + square / (2 * count)) / (1 + square / count)
  const half =
    (Z_90 / (1 + square / count)) * Math.sqrt((share * (1 - share)) / count + square / (4 * count ** 2))
  return { low: Math.max(0, middle - half), high: Math.min(1, middle + half) }
}
