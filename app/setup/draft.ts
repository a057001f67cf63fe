import { z } from 'zod'
import { REGISTER_LISTS } from '@/lib/store/ledger/registerEntries'
import type { RegisterEdit } from '@/lib/store/register/changeRegister'

/** What is kept of a change between the form and its confirmation. */
const draft = z.object({
  list: z.enum(REGISTER_LISTS),
  /** What would be done; empty where the form has problems. */
  edits: z.array(
    z.object({
      list: z.enum(REGISTER_LISTS),
      code: z.string(),
      content: z.record(z.string(), z.unknown()).nullable(),
      isNew: z.boolean().optional(),
    }),
  ),
  /** ms UTC; null: from the moment of confirming. */
  holdsFromAt: z.number().nullable(),
  /** The form as it was filled in, to be shown again. */
  values: z.record(z.string(), z.string()).default({}),
  problems: z.array(z.object({ field: z.string(), detail: z.string() })).default([]),
  /** What is wrong with single lines of a CSV; these are left out of the edits. */
  lines: z.array(z.object({ line: z.number(), detail: z.string() })).default([]),
})

export type Draft = z.infer<typeof draft> & { edits: RegisterEdit[] }

/** A draft as it was kept, or null where there is none any more. */
export function readDraft(content: unknown): Draft | null {
  return draft.safeParse(content).data ?? null
}
