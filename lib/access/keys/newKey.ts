import type { Person } from '@/lib/policy/principal'
import { type KeyRights, makeKey } from '@/lib/store/people/keys'
import { OneTimeSecrets } from '@/lib/store/people/oneTimeSecrets'
import type { Actor } from '@/lib/store/scope/audit'
import { getAuthPool } from '@/lib/store/scope/sharedPool'

/** A key that was made just now, with its secret. */
export interface NewKey {
  id: string
  secret: string
  name: string
  mustSign: boolean
}

const shared = globalThis as typeof globalThis & { holdfastMadeKeys?: OneTimeSecrets<NewKey> }

/** Kept on `globalThis`, because Next loads a module more than once in one process. */
function getNewKeySecrets(): OneTimeSecrets<NewKey> {
  shared.holdfastMadeKeys ??= new OneTimeSecrets<NewKey>()
  return shared.holdfastMadeKeys
}

/** Makes a key for a person; the ticket by which its secret can be seen once. */
export async function makeKeyForPerson(person: Person, rights: KeyRights, actor: Actor): Promise<string> {
  const now = Date.now()
  const { id, secret } = await makeKey(getAuthPool(), rights, actor, now)
  return getNewKeySecrets().keep(person.id, { id, secret, name: rights.name, mustSign: rights.mustSign }, now)
}

/** The key that a ticket stands for, shown this once. */
export const consumeNewKey = (person: Person, ticket: string) =>
  getNewKeySecrets().consume(person.id, ticket, Date.now())
