import type pg from 'pg'
import { EVENT_KINDS } from '@/lib/custody/event'
import { english } from '@/lib/messages/english'
import type { KeyRights } from '@/lib/policy/keyRights'
import { makeKey } from '@/lib/store/people/keys'
import { COMMAND } from '@/lib/store/scope/audit'

/** The rights of a key for the tests' sources, with everything allowed. */
export const ALL_RIGHTS: KeyRights = {
  name: 'a machine of the tests',
  sources: ['desk', 'carrier'],
  sides: ['programme'],
  kinds: EVENT_KINDS,
  plants: null,
  laboratories: null,
  mayImportHistory: true,
  maySetRegister: true,
  mustSign: false,
  expiresAt: null,
}

/** Makes a key in a test database and returns its secret. Unless sides are given, those of the places are taken. */
export async function makeTestKey(
  { authPool }: { authPool: pg.Pool },
  rights: Partial<KeyRights> = {},
): Promise<string> {
  const sides: KeyRights['sides'] = rights.plants
    ? ['plant']
    : rights.laboratories
      ? ['laboratory']
      : ALL_RIGHTS.sides
  const made = await makeKey(authPool, { ...ALL_RIGHTS, sides, ...rights }, COMMAND, Date.now())
  if (made.fault) throw new Error(english.message(made.fault.detail))
  return made.secret
}
