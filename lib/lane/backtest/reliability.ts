import { clusteredMean, type Prediction } from './score'

/** Forecasts that said about the same, and how often it came so. */
export interface ReliabilityBin {
  /** The chances of the bin: from `from`, short of `to` (the last one with 1). */
  from: number
  to: number
  /** Mean of what was said. */
  predicted: number
  /** Share that was late. */
  observed: number
  /** 90 % interval of the share, by Wilson (1927), for as many independent forecasts as these are worth. */
  low: number
  high: number
  forecasts: number
  consignments: number
  /** Independent forecasts that these are worth. */
  effective: number
}

/** Narrow where decisions are made: 5 % is tight, 20 % at risk. */
const BIN_EDGES: readonly number[] = [0, 0.02, 0.05, 0.1, 0.2, 0.35, 0.5, 0.65, 0.8, 0.95, 1]

/** 95th percentile of the normal distribution: 90 % lie between. */
const Z_90 = 1.6448536269514722

/** What was said against what came, bin by bin; a bin in which nothing was said is left out. */
export function computeReliability(
  said: readonly Prediction[],
  edges: readonly number[] = BIN_EDGES,
): ReliabilityBin[] {
  const last = edges.length - 2
  const bins: Prediction[][] = Array.from({ length: last + 1 }, () => [])
  for (const one of said) {
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
 * How many independent forecasts would scatter as these clusters do: never more than Kish's number for the weights, and
 * where all came alike, so that nothing is seen to scatter, one for each cluster.
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
