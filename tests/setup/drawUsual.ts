import { type Chance, chanceFrom } from '@/tests/reference/random'
import { getRunSeed } from './seed'
import { chooseUsualOrLong } from './usualOrLong'

/** Of cases that are much alike, `count` by chance; with HOLDFAST_TESTS=long all of them, in their order. */
export function drawUsual<T>(
  cases: readonly T[],
  count: number,
  chance: Chance = chanceFrom(getRunSeed()),
): readonly T[] {
  return chooseUsualOrLong({ usual: chance.shuffled(cases).slice(0, count), long: cases })
}
