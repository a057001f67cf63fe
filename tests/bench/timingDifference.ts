import { performance } from 'node:perf_hooks'
import { makeRandom } from './manyEvents'

/** Two kinds of request whose times must not be distinguishable. Times in milliseconds. */
export interface TimingDifference {
  name: string
  /** What each kind is about. */
  sides: readonly [string, string]
  /** Requests of each kind. */
  count: number
  medianMs: readonly [number, number]
  /** The first median minus the second, as a percentage of the greater one. */
  percent: number
  /** 95 % confidence interval of that percentage, by resampling the pairs. */
  lowestPercent: number
  highestPercent: number
  aim: string
  /** Whether the medians differ by less than 5 %. */
  isMet: boolean
}

/** Default number of requests of each kind. */
export const PAIRS = 2_000
const MAX_PERCENT = 5
const RESAMPLES = 1_000

/**
 * Times `run` for both sides in pairs, each pair in random order, after a warm-up. `run` gets the side (0 or 1) and the
 * index of the pair. If it returns a number, that is the time in ms; else the whole call is timed.
 */
export async function measureDifference(
  name: string,
  sides: readonly [string, string],
  run: (side: 0 | 1, pair: number) => Promise<unknown>,
  count = PAIRS,
): Promise<TimingDifference> {
  const random = makeRandom(2718)
  const warmUp = Math.ceil(count / 10)
  const pairs: [number, number][] = []
  for (let n = 0; n < count + warmUp; n += 1) {
    const pair: [number, number] = [0, 0]
    for (const side of random() < 0.5 ? ([0, 1] as const) : ([1, 0] as const)) {
      const startedAt = performance.now()
      const own = await run(side, n)
      pair[side] = typeof own === 'number' ? own : performance.now() - startedAt
    }
    if (n >= warmUp) pairs.push(pair)
  }
  const drawn = Array.from({ length: RESAMPLES }, () =>
    computePercent(computeMedians(pairs.map(() => pairs[Math.floor(random() * count)] as [number, number]))),
  ).sort((a, b) => a - b)
  const medianMs = computeMedians(pairs)
  const percent = computePercent(medianMs)
  return {
    name,
    sides,
    count,
    medianMs,
    percent,
    lowestPercent: drawn[Math.floor(RESAMPLES * 0.025)] as number,
    highestPercent: drawn[Math.floor(RESAMPLES * 0.975)] as number,
    aim: `within ${MAX_PERCENT} % of each other`,
    isMet: Math.abs(percent) < MAX_PERCENT,
  }
}

/** The number of pairs that `measureDifference` runs, warm-up included. */
export function countPairsWithWarmUp(count = PAIRS): number {
  return count + Math.ceil(count / 10)
}

function computeMedians(pairs: readonly [number, number][]): [number, number] {
  const median = (side: 0 | 1) =>
    Float64Array.from(pairs, (pair) => pair[side]).sort()[pairs.length >> 1] as number
  return [median(0), median(1)]
}

function computePercent([first, second]: readonly [number, number]): number {
  return ((first - second) / Math.max(first, second)) * 100
}
