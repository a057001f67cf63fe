import { z } from 'zod'
import { MAX_SEARCH_LENGTH, STAGES } from '@/app/(board)/boardFilter'
import { SAMPLE_GROUPS } from '@/lib/judgement/sampleGroup'
import { english } from '@/lib/messages/english'

/** An empty form field does not filter. */
const optional = <Schema extends z.ZodType>(schema: Schema) =>
  z.preprocess((value) => (value === '' ? undefined : value), schema.optional())

/** The filter in the query string of a request. */
export const boardFilterSchema = z.object({
  search: optional(
    z.string().max(MAX_SEARCH_LENGTH, english('board.fault.search', { max: MAX_SEARCH_LENGTH })),
  ),
  stage: optional(z.enum(STAGES, { error: english('board.fault.stage', { values: STAGES.join(', ') }) })),
  group: optional(
    z.enum(SAMPLE_GROUPS, { error: english('board.fault.group', { values: SAMPLE_GROUPS.join(', ') }) }),
  ),
})
