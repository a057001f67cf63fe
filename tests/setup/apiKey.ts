import type pg from 'pg'
import { EVENT_KINDS } from '@/lib/custody/event'
import { type KeyRights, makeKey } from '@/lib/store/people/keys'
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

/** Makes a key in a test database and returns its secret. */
export async function makeTestKey(
  { authPool }: { authPool: pg.Pool },
  rights: Partial<KeyRights> = {},
): Promise<string> {
  return (await makeKey(authPool, { ...ALL_RIGHTS, ...rights }, COMMAND, Date.now())).secret
}
