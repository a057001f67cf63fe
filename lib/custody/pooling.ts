/** Minimum makers behind a published figure. With two, each could compute the other's. */
export const MIN_MAKERS = 3

/** The samples of one maker in a count. */
export interface MakerCount {
  maker: string
  count: number
}

/** `count` is null if too few makers stand behind it. */
export interface PooledFigure<Name extends string> {
  name: Name
  count: number | null
}

/** Figures and their total. All are null if too few makers stand behind the group. */
export interface PooledGroup<Name extends string> {
  figures: PooledFigure<Name>[]
  total: number | null
}

/**
 * Pools counts over makers. A count is published if at least three makers stand behind it, or if none does and at
 * least three stand behind the group. If any count is withheld the total is withheld too, since the difference would
 * reveal it. If exactly one is withheld, so is the smallest published one: a total known from elsewhere would reveal
 * it otherwise.
 */
export function poolOverMakers<Name extends string>(
  group: readonly { name: Name; makers: readonly MakerCount[] }[],
): PooledGroup<Name> {
  const listMakers = (makers: readonly MakerCount[]) =>
    new Set(makers.flatMap(({ maker, count }) => (count > 0 ? [maker] : [])))
  const behindAll = listMakers(group.flatMap(({ makers }) => makers)).size
  const sums = group.map(({ name, makers }) => {
    const behind = listMakers(makers).size
    const count = makers.reduce((sum, one) => sum + one.count, 0)
    const isPublished = behindAll >= MIN_MAKERS && (behind === 0 || behind >= MIN_MAKERS)
    return { name, count, isPublished }
  })
  const withheld = sums.filter(({ isPublished }) => !isPublished)
  if (withheld.length === 1) {
    const [smallest] = sums
      .filter(({ isPublished, count }) => isPublished && count > 0)
      .sort((a, b) => a.count - b.count)
    if (smallest) smallest.isPublished = false
  }
  return {
    figures: sums.map(({ name, count, isPublished }) => ({ name, count: isPublished ? count : null })),
    total: withheld.length > 0 ? null : sums.reduce((sum, { count }) => sum + count, 0),
  }
}

/** Plants that name no maker count as one maker, since they may be one. */
export function getMaker(plant: { maker?: string | undefined } | undefined): string {
  return plant?.maker?.trim().toLowerCase() ?? ''
}
