import type { BoardFilter } from '@/lib/store'

export const FILTER_KEYS = ['search', 'stage', 'standing'] as const

/** The part of an address that names a filter: "?stage=received", empty where nothing is filtered. */
export function boardAddress(
  filter: { [Key in (typeof FILTER_KEYS)[number]]?: string | null | undefined },
): string {
  const params = new URLSearchParams()
  for (const key of FILTER_KEYS) {
    const value = filter[key]?.trim()
    if (value) params.set(key, value)
  }
  return params.size > 0 ? `?${params}` : ''
}

export function isFiltered(filter: BoardFilter): boolean {
  return boardAddress(filter) !== ''
}
