import { actorOf } from '@/lib/access/session/actor'
import type { Person } from '@/lib/policy/principal'
import { draftOf } from '@/lib/store/register/setupDraft'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { readDraft } from './draft'
import type { FormState } from './Field'
import type { FormValues } from './forms/formValues'

export type Asked = Record<string, string | string[] | undefined>

/**
 * A form as it is first shown; as it was sent and refused where the address names a draft; or, where it only asks to
 * look ahead or a link has filled it in, as the address has it.
 */
export async function formStateOf(person: Person, asked: Asked, initial: FormValues): Promise<FormState> {
  const draftId = asked.draft
  if (asked.look === 'yes') {
    const values = Object.entries(asked).map(([name, value]) => [name, [value ?? ''].flat()[0] ?? ''])
    return { values: Object.fromEntries(values), problems: [] }
  }
  if (typeof draftId !== 'string') return { values: initial, problems: [] }
  const draft = readDraft(await draftOf(sharedPool(), actorOf(person, null), draftId))
  return draft ? { values: draft.values, problems: draft.problems } : { values: initial, problems: [] }
}
