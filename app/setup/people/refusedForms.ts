import { z } from 'zod'
import { toActor } from '@/lib/access/session/actor'
import { messageSchema } from '@/lib/messages/messageSchema'
import { type Roles, toRoles } from '@/lib/policy/personRoles'
import type { Person } from '@/lib/policy/principal'
import { findDraft } from '@/lib/store/register/setupDraft'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import type { FormState } from '../fields'
import { readRoleFields } from '../forms/personForm'
import type { SearchParams } from '../searchParams'

/** A refused form is kept in a draft, never in an address: addresses end up in logs. */
const refusedFormSchema = z.object({
  personForm: z.array(z.tuple([z.string(), z.string()])),
  problems: z.array(z.object({ field: z.string(), detail: messageSchema })),
})

export type RefusedForm = z.infer<typeof refusedFormSchema>

export interface RefusedPerson {
  /** The id of the draft that keeps it. */
  draft: string
  form: FormState
  roles: Roles
  hasLeft: boolean
}

/** Loads the refused form that the address names if this user sent it for person `id` (null: a new one); else null. */
export async function loadRefusedPerson(
  user: Person,
  searchParams: SearchParams,
  id: string | null,
): Promise<RefusedPerson | null> {
  if (typeof searchParams.draft !== 'string') return null
  const found = refusedFormSchema.safeParse(
    await findDraft(getAppPool(), toActor(user, null), searchParams.draft),
  ).data
  if (!found) return null
  const fields = new URLSearchParams(found.personForm)
  const text = (name: string) => fields.get(name) ?? ''
  if (text('id') !== (id ?? '')) return null
  return {
    draft: searchParams.draft,
    form: {
      values: { email: text('email'), name: text('name'), zone: text('zone') },
      problems: found.problems,
    },
    roles: toRoles(readRoleFields((name) => fields.getAll(name))),
    hasLeft: text('left') === 'yes',
  }
}

const refusedMailboxSchema = z.object({ of: z.string(), mailbox: z.string() })

/** Loads the refused mailbox of person `id` that the address names, as typed by this user; else null. */
export async function loadRefusedMailbox(
  user: Person,
  { refused }: SearchParams,
  id: string,
): Promise<string | null> {
  if (typeof refused !== 'string') return null
  const kept = refusedMailboxSchema.safeParse(
    await findDraft(getAppPool(), toActor(user, null), refused),
  ).data
  return kept?.of === id ? kept.mailbox : null
}
