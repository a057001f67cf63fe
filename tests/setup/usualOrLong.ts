const wanted = process.env.HOLDFAST_TESTS
if (wanted && wanted !== 'long') throw new Error('HOLDFAST_TESTS must be "long" or left out.')

/** How much of a long simulation runs: what is usual, or with HOLDFAST_TESTS=long all that its claims were made for. */
export function chooseUsualOrLong<T>({ usual, long }: { usual: T; long: T }): T {
  return wanted === 'long' ? long : usual
}
