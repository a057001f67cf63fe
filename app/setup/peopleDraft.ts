import { z } from 'zod'

/** What is kept of a list of people between sending it and confirming it, or of one whose header cannot be used. */
const draft = z.object({
  peopleCsv: z.string(),
  problems: z.array(z.object({ field: z.string(), detail: z.string() })),
})

export type PeopleDraft = z.infer<typeof draft>

/** A draft as it was kept, or null where there is none any more. */
export function readPeopleDraft(content: unknown): PeopleDraft | null {
  return draft.safeParse(content).data ?? null
}
