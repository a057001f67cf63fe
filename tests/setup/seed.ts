import { inject } from 'vitest'

declare module 'vitest' {
  export interface ProvidedContext {
    /** What every random test of this run begins from. */
    seed: number
  }
}

const HIGHEST = 2_147_483_645

/**
 * The seed of a run: what HOLDFAST_SEED says, to repeat another run, else one by chance.
 * @throws Error where HOLDFAST_SEED is no whole number that a seed can be.
 */
export function chooseSeed(wanted = process.env.HOLDFAST_SEED): number {
  if (!wanted) return Math.floor(Math.random() * HIGHEST)
  const seed = Number(wanted)
  if (!/^\d+$/.test(wanted) || seed > HIGHEST)
    throw new Error(`HOLDFAST_SEED must be a whole number from 0 to ${HIGHEST}.`)
  return seed
}

/** The seed of this run, in a test. */
export const getRunSeed = () => inject('seed')
