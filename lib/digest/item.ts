/** One thing that a digest names. Instants in ms UTC. */
export interface DigestItem {
  /** The same from week to week for the same thing. */
  key: string
  /** Code of the plant whose sample it is. */
  plant: string
  plantName: string
  /** Where it is to be done: the code of a plant or a laboratory. */
  at: { kind: 'plant' | 'laboratory'; code: string }
  /** What to do, with the kit's code, as one sentence without its end: "Cut 7KQ2-M94Y again". */
  act: string
  /** Why, as the rest of it: "it has lapsed". */
  why: string
  /** The path of the page that settles it. */
  path: string
  /** By when; null where no time says so. */
  dueAt: number | null
  /** The zone that the due is counted in. */
  dueZone: string
  /** Its time has passed, and it still is to be done. */
  isOverdue: boolean
  /** It is not to be done yet. */
  isComing: boolean
}

/** Most pressing first: what is overdue, longest first, then what is due next. */
export function byPressing(a: DigestItem, b: DigestItem): number {
  if (a.isOverdue !== b.isOverdue) return a.isOverdue ? -1 : 1
  const [first, second] = [a.dueAt ?? Number.POSITIVE_INFINITY, b.dueAt ?? Number.POSITIVE_INFINITY]
  return first === second ? (a.key < b.key ? -1 : 1) : first - second
}
