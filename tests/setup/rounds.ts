const wanted = process.env.HOLDFAST_TESTS
if (wanted && wanted !== 'long') throw new Error('HOLDFAST_TESTS must be "long" or left out.')

/** How many rounds a long simulation runs: few, or with HOLDFAST_TESTS=long as many as its claims were made for. */
export function rounds({ few, all }: { few: number; all: number }): number {
  return wanted === 'long' ? all : few
}
