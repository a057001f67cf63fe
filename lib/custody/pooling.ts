/** Behind a figure that is told to all stand this many makers or more: with two, either could work out the other's. */
export const MIN_MAKERS = 3

/** How many samples of one maker something is true of. */
export interface MakerCount {
  maker: string
  count: number
}

/** One figure of a group; its count is null where too few makers stand behind it. */
export interface PooledFigure<Name extends string> {
  name: Name
  count: number | null
}

/** Figures that sum to a total. It is null, and every count with it, where the group itself has too few makers. */
export interface PooledGroup<Name extends string> {
  figures: PooledFigure<Name>[]
  total: number | null
}

/**
 * Pools counts over makers. A count is told where three makers or more stand behind it, or none does while three or
 * more stand behind the group. Where any is withheld the total is too, since what is missing could be told from it;
 * and where only one is, the smallest that is told is withheld with it, for then the total known from elsewhere would
 * give the one away.
 */
export function poolOverMakers<Name extends string>(
  group: readonly { name: Name; makers: readonly MakerCount[] }[],
): PooledGroup<Name> {
  const makersOf = (makers: readonly MakerCount[]) =>
    new Set(makers.flatMap(({ maker, count }) => (count > 0 ? [maker] : [])))
  const behindAll = makersOf(group.flatMap(({ makers }) => makers)).size
  const sums = group.map(({ name, makers }) => {
    const behind = makersOf(makers).size
    const count = makers.reduce((sum, one) => sum + one.count, 0)
    const isTold = behindAll >= MIN_MAKERS && (behind === 0 || behind >= MIN_MAKERS)
    return { name, count, isTold }
  })
  const withheld = sums.filter(({ isTold }) => !isTold)
  if (withheld.length === 1) {
    const [smallest] = sums
      .filter(({ isTold, count }) => isTold && count > 0)
      .sort((a, b) => a.count - b.count)
    if (smallest) smallest.isTold = false
  }
  return {
    figures: sums.map(({ name, count, isTold }) => ({ name, count: isTold ? count : null })),
    total: withheld.length > 0 ? null : sums.reduce((sum, { count }) => sum + count, 0),
  }
}

/** The maker of a plant, for counting makers; plants that name none count as one, since they may be one. */
export function getMaker(plant: { maker?: string | undefined } | undefined): string {
  return plant?.maker?.trim().toLowerCase() ?? ''
}
