import { z } from 'zod'
import { toActor } from '@/lib/access/session/actor'
import { messageSchema } from '@/lib/messages/messageSchema'
import type { Person } from '@/lib/policy/principal'
import { REGISTER_LISTS } from '@/lib/store/ledger/registerEntries'
import type { RegisterEdit } from '@/lib/store/register/changeRegister'
import { findDraft } from '@/lib/store/register/setupDraft'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import type { FormState } from './fields'
import type { FormValues } from './forms/formValues'
import type { SearchParams } from './searchParams'

/** A change while it waits to be confirmed. */
const draft = z.object({
  list: z.enum(REGISTER_LISTS),
  /** Empty if the form has problems. */
  edits: z.array(
    z.object({
      list: z.enum(REGISTER_LISTS),
      code: z.string(),
      content: z.record(z.string(), z.unknown()).nullable(),
      isNew: z.boolean().optional(),
    }),
  ),
  /** ms UTC; null: from when it is confirmed. */
  holdsFromAt: z.number().nullable(),
  /** The form as filled in, to show it again. */
  values: z.record(z.string(), z.string()).default({}),
  problems: z.array(z.object({ field: z.string(), detail: messageSchema })).default([]),
  /** What is wrong with lines of a CSV; the edits leave these out. */
  lines: z.array(z.object({ line: z.number(), detail: messageSchema })).default([]),
})

export type Draft = z.infer<typeof draft> & { edits: RegisterEdit[] }

/** Null if the draft is gone. */
export function readDraft(content: unknown): Draft | null {
  return draft.safeParse(content).data ?? null
}

/**
 * The form to show: `initial`; the refused form if the address names its draft; or the values in the address if it asks
 * for a preview.
 */
export async function loadFormState(
  person: Person,
  searchParams: SearchParams,
  initial: FormValues,
): Promise<FormState> {
  const draftId = searchParams.draft
  if (searchParams.look === 'yes') {
    const values = Object.entries(searchParams).map(([name, value]) => [name, [value ?? ''].flat()[0] ?? ''])
    return { values: Object.fromEntries(values), problems: [] }
  }
  if (typeof draftId !== 'string') return { values: initial, problems: [] }
  const draft = readDraft(await findDraft(getAppPool(), toActor(person, null), draftId))
  return draft ? { values: draft.values, problems: draft.problems } : { values: initial, problems: [] }
}

/** A list of people while it waits to be confirmed, or one whose header is wrong. */
const peopleDraft = z.object({
  peopleCsv: z.string(),
  problems: z.array(z.object({ field: z.string(), detail: messageSchema })),
})

export type PeopleDraft = z.infer<typeof peopleDraft>

/** Null if the draft is gone. */
export function readPeopleDraft(content: unknown): PeopleDraft | null {
  return peopleDraft.safeParse(content).data ?? null
}
