import { findSharedSources, isActiveKey, type SourceKey } from './keyOwner'

/** A key, with when it lost kinds that its side does not report (ms UTC); null if it lost none. */
type WarnedKey = SourceKey & { narrowedAt: number | null }

/** What an administrator has to look at, of keys from before keys had sides. */
export interface KeyWarnings<K> {
  /** Sources of which keys of several owners speak. */
  shared: { source: string; keys: K[] }[]
  /** Keys that speak for two sides. */
  twoSided: K[]
  /** Keys that could report more. */
  narrowed: K[]
}

/** What there is to look at of the keys that work at `now` (ms UTC). */
export function findKeyWarnings<K extends WarnedKey>(keys: readonly K[], now: number): KeyWarnings<K> {
  const active = keys.filter((key) => isActiveKey(key, now))
  return {
    shared: findSharedSources(active, now),
    twoSided: active.filter(({ sides }) => sides.length > 1),
    narrowed: active.filter(({ narrowedAt }) => narrowedAt !== null),
  }
}
