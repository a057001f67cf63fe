import type { Person } from '@/lib/policy/principal'
import { type KeyRights, makeKey } from '@/lib/store/people/keys'
import { ShownOnce } from '@/lib/store/people/shownOnce'
import type { Actor } from '@/lib/store/scope/audit'
import { sharedDoor } from '@/lib/store/scope/sharedPool'

/** A key that was made just now, with its secret. */
export interface MadeKey {
  id: string
  secret: string
  name: string
  mustSign: boolean
}

const shared = globalThis as typeof globalThis & { holdfastMadeKeys?: ShownOnce<MadeKey> }

/** Kept on `globalThis`, because Next loads a module more than once in one process. */
function madeKeys(): ShownOnce<MadeKey> {
  shared.holdfastMadeKeys ??= new ShownOnce<MadeKey>()
  return shared.holdfastMadeKeys
}

/** Makes a key for a person; the ticket by which its secret can be seen once. */
export async function makeKeyFor(person: Person, rights: KeyRights, actor: Actor): Promise<string> {
  const now = Date.now()
  const { id, secret } = await makeKey(sharedDoor(), rights, actor, now)
  return madeKeys().keep(person.id, { id, secret, name: rights.name, mustSign: rights.mustSign }, now)
}

/** The key that a ticket stands for, shown this once. */
export const takeMadeKey = (person: Person, ticket: string) => madeKeys().take(person.id, ticket, Date.now())
