import { type Chance, chanceFrom } from '../reference/random'

/** Seeded random numbers for simulations, so that every run of a test sees the same. */
export interface Draws {
  /** Between 0 and 1, neither reached. */
  share(): number
  /** From a normal distribution with mean 0 and deviation 1. */
  normal(): number
  /** An index drawn with these chances; the last one takes the rest to 1. */
  step(chances: readonly number[]): number
  whole: Chance['whole']
}

export function drawsFrom(seed: number): Draws {
  const { whole } = chanceFrom(seed)
  const share = () => (whole(2 ** 31) + 0.5) / 2 ** 31
  return {
    share,
    whole,
    // Source: Box and Muller 1958.
    normal: () => Math.sqrt(-2 * Math.log(share())) * Math.cos(2 * Math.PI * share()),
    step(chances) {
      let left = share()
      const index = chances.findIndex((chance) => {
        left -= chance
        return left < 0
      })
      return index < 0 ? chances.length - 1 : index
    },
  }
}
