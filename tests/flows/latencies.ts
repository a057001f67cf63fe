import { expect } from 'vitest'

/** The 99th percentile that the project promises, ms. */
const MAX_P99_MS = 500
/** The 99th percentile without an attack on a machine that has nothing else to do is below this, ms. */
const USUAL_P99_MS = 100

/** What is asked for while a server is attacked: that it is alive, and another principal's board as data and as page. */
export const PROBED = ['/api/health', '/api/board', '/'] as const

/** Latencies of each path, ms. */
export type Latencies = Map<string, number[]>

export function makeLatencies(): Latencies {
  return new Map<string, number[]>(PROBED.map((path) => [path, []]))
}

/** Asks for every path at once, `minRounds` times, and then until `isEnough`, at most `maxRounds` times. */
export async function probe(
  address: string,
  headers: Record<string, string>,
  latencies: Latencies,
  { minRounds, maxRounds = minRounds }: { minRounds: number; maxRounds?: number },
  isEnough = () => true,
): Promise<void> {
  for (let round = 0; round < minRounds || (round < maxRounds && !isEnough()); round += 1)
    await Promise.all(
      PROBED.map(async (path) => {
        const startedAt = performance.now()
        const response = await fetch(address + path, { headers })
        await response.text()
        latencies.get(path)?.push(performance.now() - startedAt)
        expect([path, response.status]).toEqual([path, 200])
      }),
    )
}

/**
 * Expects 500 ms at the 99th percentile of a path under attack. A machine that is busy with other work is slow without an
 * attack too, and the bound grows as much.
 */
export function expectPromised(path: string, calm: Latencies, attacked: Latencies): void {
  const [before, during] = [calm.get(path) as number[], attacked.get(path) as number[]]
  const [calmP99, p99] = [findQuantile(before, 0.99), findQuantile(during, 0.99)]
  const bound = MAX_P99_MS * Math.max(1, calmP99 / USUAL_P99_MS)
  console.log(
    `${path}: ${during.length} answers, median ${findQuantile(during, 0.5).toFixed(0)} ms, 99th percentile ${p99.toFixed(0)} ms; without an attack ${findQuantile(before, 0.5).toFixed(0)} and ${calmP99.toFixed(0)} ms; bound ${bound.toFixed(0)} ms`,
  )
  expect(p99).toBeLessThan(bound)
}

/** The share `q` of these latencies is at most this, ms. */
function findQuantile(latencies: readonly number[], q: number): number {
  return latencies.toSorted((a, b) => a - b)[Math.ceil(latencies.length * q) - 1] as number
}
