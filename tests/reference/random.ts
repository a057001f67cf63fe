/** A seeded source of chance, so that a failure can be repeated. */
export interface Chance {
  /** A whole number from 0 to `below` - 1. */
  whole(below: number): number
  pick<T>(list: readonly T[]): T
  shuffled<T>(list: readonly T[]): T[]
}

/** Chance from a seed by the generator of Park and Miller (1988), multiplier 48271, two draws to a number. */
export function chanceFrom(seed: number): Chance {
  let state = (Math.abs(Math.trunc(seed)) % 2147483646) + 1
  const next = () => {
    state = (state * 48271) % 2147483647
    return state - 1
  }
  const whole = (below: number) => Math.floor(((next() * 2147483646 + next()) / 2147483646 ** 2) * below)
  return {
    whole,
    pick: (list) => list[whole(list.length)] as (typeof list)[number],
    shuffled(list) {
      const result = [...list]
      for (let last = result.length - 1; last > 0; last -= 1) {
        const other = whole(last + 1)
        ;[result[last], result[other]] = [result[other] as never, result[last] as never]
      }
      return result
    },
  }
}
