import type pg from 'pg'
import { type KeyRights, makeKey } from '@/lib/store/people/keys'
import { COMMAND } from '@/lib/store/scope/audit'

/** A key of the tests' sources that may report and set everything, unless its rights are changed. */
export const ALL_RIGHTS: KeyRights = {
  name: 'a machine of the tests',
  sources: ['desk', 'carrier'],
  kinds: null,
  plants: null,
  laboratories: null,
  mayImportHistory: true,
  maySetRegister: true,
  mustSign: false,
  expiresAt: null,
}

/** Makes a key in a database of the tests and gives its secret. */
export async function makeTestKey(
  { authPool }: { authPool: pg.Pool },
  rights: Partial<KeyRights> = {},
): Promise<string> {
  return (await makeKey(authPool, { ...ALL_RIGHTS, ...rights }, COMMAND, Date.now())).secret
}
