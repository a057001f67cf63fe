/** A group of shipments: the pool of all, or one within a wider group. */
export interface Group {
  /** Its index among the groups; 0 for the pool. */
  readonly id: number
  /** Null for the pool. */
  readonly key: string | null
  readonly wider: Group | null
  /** 0 for the pool. */
  readonly depth: number
  readonly inner: Map<string, Group>
}

/** The groups of a stage: the pool, and the nested groups that observations name. */
export class GroupHierarchy {
  readonly pool: Group = { id: 0, key: null, wider: null, depth: 0, inner: new Map() }
  readonly groups: Group[] = [this.pool]
  #depth = 0

  /** The greatest depth below the pool. */
  get depth(): number {
    return this.#depth
  }

  /** The innermost group of these levels (own first); created if absent. */
  findOrAdd(levels: readonly string[]): Group {
    let group = this.pool
    for (let level = levels.length - 1; level >= 0; level -= 1) {
      const key = levels[level] as string
      group = group.inner.get(key) ?? this.#begin(key, group)
    }
    return group
  }

  /** The innermost group of these levels that exists; the pool if none does. */
  find(levels: readonly string[]): Group {
    let group = this.pool
    for (let level = levels.length - 1; level >= 0; level -= 1) {
      const inner = group.inner.get(levels[level] as string)
      if (!inner) break
      group = inner
    }
    return group
  }

  #begin(key: string, wider: Group): Group {
    const group = { id: this.groups.length, key, wider, depth: wider.depth + 1, inner: new Map() }
    wider.inner.set(key, group)
    this.groups.push(group)
    this.#depth = Math.max(this.#depth, group.depth)
    return group
  }
}
