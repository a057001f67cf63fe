/** Samples that arrive together: a consignment, or one sample that travels alone. */
export interface PossibleArrival {
  /** Number of samples. */
  size: number
  /** The chance of each local day of the laboratory; the rest to 1 is for no day listed. */
  days: readonly { day: number; chance: number }[]
}

/** What a laboratory should expect on one local day. */
export interface ExpectedDay {
  /** Day number. */
  day: number
  /** Expected number of samples. */
  mean: number
  /** The central 80 % interval of the number of samples. */
  low: number
  high: number
}

/**
 * The number of samples on each of `days`. Consignments arrive independently of each other, so a day's number
 * is the exact distribution of a sum of independent arrivals, each of its size.
 */
export function computeExpectedDays(
  coming: readonly PossibleArrival[],
  days: readonly number[],
): ExpectedDay[] {
  const throwsOn = new Map<number, ArrivalChance[]>()
  for (const { size, days: own } of coming)
    for (const { day, chance } of own) {
      if (chance <= 0) continue
      const known = throwsOn.get(day)
      if (known) known.push({ size, chance })
      else throwsOn.set(day, [{ size, chance }])
    }
  return days.map((day) => {
    const throws = throwsOn.get(day) ?? []
    const numbers = computeNumberChances(throws)
    return {
      day,
      mean: throws.reduce((sum, { size, chance }) => sum + size * chance, 0),
      low: findQuantile(numbers, 0.1),
      high: findQuantile(numbers, 0.9),
    }
  })
}

interface ArrivalChance {
  size: number
  chance: number
}

/** The chance of each number of samples, from 0 on; each arrival adds its size or nothing. */
function computeNumberChances(throws: readonly ArrivalChance[]): Float64Array {
  let numbers = Float64Array.of(1)
  for (const { size, chance } of throws) {
    const next = new Float64Array(numbers.length + size)
    numbers.forEach((share, number) => {
      next[number] = (next[number] as number) + share * (1 - chance)
      next[number + size] = (next[number + size] as number) + share * chance
    })
    numbers = next
  }
  return numbers
}

/** The smallest number with this cumulative chance. Sums of many shares may miss it by rounding. */
function findQuantile(numbers: Float64Array, share: number): number {
  let sum = 0
  for (let number = 0; number < numbers.length; number += 1) {
    sum += numbers[number] as number
    if (sum >= share - 1e-9) return number
  }
  return numbers.length - 1
}
