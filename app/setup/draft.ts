import { z } from 'zod'
import { toActor } from '@/lib/access/session/actor'
import type { Person } from '@/lib/policy/principal'
import { REGISTER_LISTS } from '@/lib/store/ledger/registerEntries'
import type { RegisterEdit } from '@/lib/store/register/changeRegister'
import { findDraft } from '@/lib/store/register/setupDraft'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import type { FormState } from './fields'
import type { FormValues } from './forms/formValues'

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

type SearchParams = Record<string, string | string[] | undefined>

/**
 * A form as it is first shown; as it was sent and refused where the address names a draft; or, where it only asks to
 * look ahead or a link has filled it in, as the address has it.
 */
export async function loadFormState(
  person: Person,
  asked: SearchParams,
  initial: FormValues,
): Promise<FormState> {
  const draftId = asked.draft
  if (asked.look === 'yes') {
    const values = Object.entries(asked).map(([name, value]) => [name, [value ?? ''].flat()[0] ?? ''])
    return { values: Object.fromEntries(values), problems: [] }
  }
  if (typeof draftId !== 'string') return { values: initial, problems: [] }
  const draft = readDraft(await findDraft(getAppPool(), toActor(person, null), draftId))
  return draft ? { values: draft.values, problems: draft.problems } : { values: initial, problems: [] }
}

/** What is kept of a list of people between sending it and confirming it, or of one whose header cannot be used. */
const peopleDraft = z.object({
  peopleCsv: z.string(),
  problems: z.array(z.object({ field: z.string(), detail: z.string() })),
})

export type PeopleDraft = z.infer<typeof peopleDraft>

/** A draft as it was kept, or null where there is none any more. */
export function readPeopleDraft(content: unknown): PeopleDraft | null {
  return peopleDraft.safeParse(content).data ?? null
}
