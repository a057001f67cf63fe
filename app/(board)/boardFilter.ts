import { MILESTONES } from '@/lib/hold/milestone'
import { SAMPLE_GROUPS } from '@/lib/judgement/sampleGroup'
import type { BoardFilter } from '@/lib/store/read/board'

export const STAGES = ['issued', ...MILESTONES] as const

/** The query string of a filter: "?stage=received", empty without a filter. */
export function formatBoardQuery(filter: BoardFilter): string {
  const params = new URLSearchParams()
  for (const key of ['search', 'stage', 'group'] as const) {
    const value = filter[key]?.trim()
    if (value) params.set(key, value)
  }
  return params.size > 0 ? `?${params}` : ''
}

/** The filter that an address or a form asks for. Values that cannot be used are ignored. */
export function readBoardFilter(value: (key: keyof BoardFilter) => string | null | undefined): BoardFilter {
  const search = value('search')?.trim().slice(0, MAX_SEARCH_LENGTH)
  return {
    search: search || undefined,
    stage: STAGES.find((stage) => stage === value('stage')),
    group: SAMPLE_GROUPS.find((group) => group === value('group')),
  }
}

export const MAX_SEARCH_LENGTH = 200
