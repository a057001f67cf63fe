import { inject } from 'vitest'

declare module 'vitest' {
  export interface ProvidedContext {
    /** The seed of every random test of this run. */
    seed: number
  }
}

const HIGHEST = 2_147_483_645

/**
 * The seed of a run: HOLDFAST_SEED, to reproduce another run, else a random one.
 * @throws Error if HOLDFAST_SEED is not a valid seed.
 */
export function chooseSeed(wanted = process.env.HOLDFAST_SEED): number {
  if (!wanted) return Math.floor(Math.random() * HIGHEST)
  const seed = Number(wanted)
  if (!/^\d+$/.test(wanted) || seed > HIGHEST)
    throw new Error(`HOLDFAST_SEED must be a whole number from 0 to ${HIGHEST}.`)
  return seed
}

export const getRunSeed = () => inject('seed')
