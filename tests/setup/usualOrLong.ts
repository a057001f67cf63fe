const wanted = process.env.HOLDFAST_TESTS
if (wanted && wanted !== 'long') throw new Error('HOLDFAST_TESTS must be "long" or left out.')

/**
 * The size of a simulation: the usual one, or with HOLDFAST_TESTS=long the full one that its claims were verified with.
 */
export function chooseUsualOrLong<T>({ usual, long }: { usual: T; long: T }): T {
  return wanted === 'long' ? long : usual
}
