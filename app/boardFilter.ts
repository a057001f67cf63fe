import { z } from 'zod'
import { MILESTONES } from '@/lib/hold/milestone'
import { OPEN_STANDINGS } from '@/lib/hold/standing'
import type { BoardFilter } from '@/lib/store'

/** An empty field of a form means that it does not filter. */
const optional = <Schema extends z.ZodType>(schema: Schema) =>
  z.preprocess((value) => (value === '' ? undefined : value), schema.optional())

const STAGES = ['issued', ...MILESTONES] as const

/** The filter that an address or a request names. */
export const boardFilter = z.object({
  search: optional(z.string().max(200, 'A search has at most 200 characters.')),
  stage: optional(z.enum(STAGES, { error: `"stage" is one of ${STAGES.join(', ')}.` })),
  standing: optional(z.enum(OPEN_STANDINGS, { error: `"standing" is one of ${OPEN_STANDINGS.join(', ')}.` })),
})

/** What can be used of an address written by hand; what cannot is left out. */
export function lenientFilter(params: Record<string, string | string[] | undefined>): BoardFilter {
  const filter: Record<string, unknown> = {}
  for (const key of Object.keys(boardFilter.shape)) {
    const value = Array.isArray(params[key]) ? params[key][0] : params[key]
    if (boardFilter.safeParse({ [key]: value }).success) filter[key] = value
  }
  return boardFilter.parse(filter)
}
