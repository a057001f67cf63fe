import { z } from 'zod'
import { OPEN_STANDINGS } from '@/lib/hold/standing'
import { LONGEST_SEARCH, STAGES } from './boardAddress'

/** An empty field of a form means that it does not filter. */
const optional = <Schema extends z.ZodType>(schema: Schema) =>
  z.preprocess((value) => (value === '' ? undefined : value), schema.optional())

/** The filter that a request names. */
export const boardFilter = z.object({
  search: optional(z.string().max(LONGEST_SEARCH, `A search has at most ${LONGEST_SEARCH} characters.`)),
  stage: optional(z.enum(STAGES, { error: `"stage" is one of ${STAGES.join(', ')}.` })),
  standing: optional(z.enum(OPEN_STANDINGS, { error: `"standing" is one of ${OPEN_STANDINGS.join(', ')}.` })),
})
