import { actorOf } from '@/lib/access/actor'
import type { Person } from '@/lib/access/principal'
import { draftOf } from '@/lib/store'
import { readDraft } from './draft'
import type { FormValues } from './forms/formValues'
import type { FormState } from './parts/Field'

/** A form as it is first shown, or as it was sent and refused where the address names a draft. */
export async function formStateOf(
  person: Person,
  draftId: string | string[] | undefined,
  initial: FormValues,
): Promise<FormState> {
  if (typeof draftId !== 'string') return { values: initial, problems: [] }
  const draft = readDraft(await draftOf(actorOf(person, null), draftId))
  return draft ? { values: draft.values, problems: draft.problems } : { values: initial, problems: [] }
}
