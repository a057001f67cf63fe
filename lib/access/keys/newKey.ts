import type { KeyRights } from '@/lib/policy/keyRights'
import type { Person } from '@/lib/policy/principal'
import { makeKey } from '@/lib/store/people/keys'
import { OneTimeSecrets } from '@/lib/store/people/oneTimeSecrets'
import type { Actor } from '@/lib/store/scope/audit'
import { getAuthPool } from '@/lib/store/scope/sharedPool'

/** A key that was just made, with its secret. */
export interface NewKey {
  id: string
  secret: string
  name: string
  mustSign: boolean
}

const shared = globalThis as typeof globalThis & { holdfastMadeKeys?: OneTimeSecrets<NewKey> }

/** Kept on `globalThis`, because Next may load a module more than once in one process. */
function getNewKeySecrets(): OneTimeSecrets<NewKey> {
  shared.holdfastMadeKeys ??= new OneTimeSecrets<NewKey>()
  return shared.holdfastMadeKeys
}

/** Makes a key for a person. Returns a ticket that shows its secret once; null if a key with these rights cannot be made. */
export async function makeKeyForPerson(
  person: Person,
  rights: KeyRights,
  actor: Actor,
): Promise<string | null> {
  const now = Date.now()
  const made = await makeKey(getAuthPool(), rights, actor, now)
  if (made.fault) return null
  const { id, secret } = made
  return getNewKeySecrets().keep(person.id, { id, secret, name: rights.name, mustSign: rights.mustSign }, now)
}

/** The key of a ticket; a second call with the same ticket returns null. */
export const consumeNewKey = (person: Person, ticket: string) =>
  getNewKeySecrets().consume(person.id, ticket, Date.now())
