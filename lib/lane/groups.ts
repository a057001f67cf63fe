import { DAY } from '@/lib/hold/zone'
import type { Observation } from './observation'
import { type Counts, Tally } from './tally'

/** A group of shipments: the pool of all, or one that lies within a wider one. */
export class Group {
  readonly tally = new Tally()
  readonly inner = new Map<string, Group>()

  constructor(
    /** Null for the pool. */
    readonly key: string | null,
    readonly wider: Group | null,
    /** 0 for the pool. */
    readonly depth: number,
  ) {}
}

/** Further than this many halvings from the origin all counts are brought to a new one. */
const FURTHEST_HALVING = 200

/**
 * The groups of a stage, each with its counts, as they weigh at a reference date: a shipment that began one half-life
 * before it counts half. Counts are kept as they weigh at an origin, so that moving the date multiplies nothing.
 */
export class Groups {
  readonly pool = new Group(null, null, 0)
  #depth = 0
  #originAt: number
  #referenceAt: number
  readonly #halfLife: number | null

  /** `referenceAt` in ms UTC; `halfLifeDays` of 86,400 s, null where nothing fades. */
  constructor(referenceAt: number, halfLifeDays: number | null) {
    this.#originAt = referenceAt
    this.#referenceAt = referenceAt
    this.#halfLife = halfLifeDays === null ? null : halfLifeDays * DAY
  }

  /** How many groups lie within each other below the pool, at most. */
  get depth(): number {
    return this.#depth
  }

  /** What a kept count is multiplied by to weigh as at the reference date. */
  get factor(): number {
    return this.#halfLife === null ? 1 : 2 ** ((this.#originAt - this.#referenceAt) / this.#halfLife)
  }

  moveTo(referenceAt: number): void {
    this.#referenceAt = referenceAt
  }

  /** Counts an observation in the pool and in each of its groups; `sign` -1 takes it out again. */
  add({ levels, startedAt, steps, hasArrived, weight }: Observation, sign: 1 | -1 = 1): void {
    if (steps < 0) return
    const unfaded = sign * weight
    const amount = unfaded * this.#weighing(startedAt)
    let group = this.pool
    group.tally.add(steps, hasArrived, amount, unfaded)
    for (let level = levels.length - 1; level >= 0; level -= 1) {
      const key = levels[level] as string
      group = group.inner.get(key) ?? this.#begin(key, group)
      group.tally.add(steps, hasArrived, amount, unfaded)
    }
  }

  /** The innermost group there is of these levels (own first): the pool where none is known. */
  find(levels: readonly string[]): Group {
    let group = this.pool
    for (let level = levels.length - 1; level >= 0; level -= 1) {
      const inner = group.inner.get(levels[level] as string)
      if (!inner) break
      group = inner
    }
    return group
  }

  counts(group: Group, last: number): Counts {
    return group.tally.counts(last, this.factor)
  }

  *atDepth(depth: number, group: Group = this.pool): Generator<Group> {
    if (group.depth === depth) yield group
    else for (const inner of group.inner.values()) yield* this.atDepth(depth, inner)
  }

  #begin(key: string, wider: Group): Group {
    const group = new Group(key, wider, wider.depth + 1)
    wider.inner.set(key, group)
    this.#depth = Math.max(this.#depth, group.depth)
    return group
  }

  #weighing(startedAt: number): number {
    if (this.#halfLife === null) return 1
    const halvings = (startedAt - this.#originAt) / this.#halfLife
    if (halvings <= FURTHEST_HALVING) return 2 ** halvings
    for (let depth = 0; depth <= this.#depth; depth += 1)
      for (const group of this.atDepth(depth)) group.tally.scale(2 ** -halvings)
    this.#originAt = startedAt
    return 1
  }
}
