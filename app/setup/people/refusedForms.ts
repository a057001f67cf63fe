import { z } from 'zod'
import { toActor } from '@/lib/access/session/actor'
import type { Translate } from '@/lib/messages/translate'
import { hasRole, ROLE_NAMES, ROLES, type Roles, toRoles } from '@/lib/policy/personRoles'
import type { Person } from '@/lib/policy/principal'
import { findDraft } from '@/lib/store/register/setupDraft'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import type { FormState } from '../fields'
import { readRoleFields } from '../forms/personForm'

export type SearchParams = Record<string, string | string[] | undefined>

/** What is kept of a person's form that was refused: never in an address, since addresses end up in logs. */
const kept = z.object({
  personForm: z.array(z.tuple([z.string(), z.string()])),
  problems: z.array(z.object({ field: z.string(), detail: z.string() })),
})

export type RefusedForm = z.infer<typeof kept>

/** A person's form as it was sent and refused. */
export interface RefusedPerson {
  /** Of the draft that keeps it. */
  draft: string
  form: FormState
  roles: Roles
  hasLeft: boolean
}

/** The refused form of a person (null: of a new one) that the address names, if the asker sent it; else null. */
export async function loadRefusedPerson(
  asker: Person,
  asked: SearchParams,
  id: string | null,
): Promise<RefusedPerson | null> {
  if (typeof asked.draft !== 'string') return null
  const found = kept.safeParse(await findDraft(getAppPool(), toActor(asker, null), asked.draft)).data
  if (!found) return null
  const fields = new URLSearchParams(found.personForm)
  const text = (name: string) => fields.get(name) ?? ''
  if (text('id') !== (id ?? '')) return null
  return {
    draft: asked.draft,
    form: {
      values: { email: text('email'), name: text('name'), zone: text('zone') },
      problems: found.problems,
    },
    roles: toRoles(readRoleFields((name) => fields.getAll(name))),
    hasLeft: text('left') === 'yes',
  }
}

const refusedMailboxSchema = z.object({ of: z.string(), mailbox: z.string() })

/** The mailbox of a person that the address says was refused, as the asker typed it; else null. */
export async function loadRefusedMailbox(
  asker: Person,
  { refused }: SearchParams,
  id: string,
): Promise<string | null> {
  if (typeof refused !== 'string') return null
  const kept = refusedMailboxSchema.safeParse(
    await findDraft(getAppPool(), toActor(asker, null), refused),
  ).data
  return kept?.of === id ? kept.mailbox : null
}

/** What a person is, in words. */
export function describeRoles(t: Translate, roles: Roles): string {
  const words = ROLE_NAMES.filter((role) => hasRole(roles, role)).map((role) => {
    const { placeKind: of, label: called, getPlaces: held } = ROLES[role]
    return of === null ? called : `${called} ${held(roles).join(', ')}`
  })
  return words.length > 0 ? words.join('; ') : 'nothing yet: sees nothing'
}
