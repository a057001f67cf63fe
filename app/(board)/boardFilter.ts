import { z } from 'zod'
import { MILESTONES } from '@/lib/hold/milestone'
import { OPEN_STANDINGS } from '@/lib/hold/standing'
import type { BoardFilter } from '@/lib/store/read/board'

export const STAGES = ['issued', ...MILESTONES] as const

/** The part of an address that names a filter: "?stage=received", empty where nothing is filtered. */
export function formatBoardQuery(filter: BoardFilter): string {
  const params = new URLSearchParams()
  for (const key of ['search', 'stage', 'standing'] as const) {
    const value = filter[key]?.trim()
    if (value) params.set(key, value)
  }
  return params.size > 0 ? `?${params}` : ''
}

/** The filter that an address or a form names. What cannot be used of one written by hand is left out. */
export function readBoardFilter(value: (key: keyof BoardFilter) => string | null | undefined): BoardFilter {
  const search = value('search')?.trim().slice(0, MAX_SEARCH_LENGTH)
  return {
    search: search || undefined,
    stage: STAGES.find((stage) => stage === value('stage')),
    standing: OPEN_STANDINGS.find((standing) => standing === value('standing')),
  }
}

export const MAX_SEARCH_LENGTH = 200

/** An empty field of a form means that it does not filter. */
const optional = <Schema extends z.ZodType>(schema: Schema) =>
  z.preprocess((value) => (value === '' ? undefined : value), schema.optional())

/** The filter that a request names. */
export const boardFilterSchema = z.object({
  search: optional(
    z.string().max(MAX_SEARCH_LENGTH, `A search has at most ${MAX_SEARCH_LENGTH} characters.`),
  ),
  stage: optional(z.enum(STAGES, { error: `"stage" is one of ${STAGES.join(', ')}.` })),
  standing: optional(z.enum(OPEN_STANDINGS, { error: `"standing" is one of ${OPEN_STANDINGS.join(', ')}.` })),
})
