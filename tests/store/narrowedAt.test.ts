import { expect, test } from 'vitest'
import { insertPerson, updatePerson } from '@/lib/access/personRows'
import { NO_ROLES } from '@/lib/custody/personRoles'
import { setMailbox } from '@/lib/store/mailboxes'
import { narrowedAt } from '@/lib/store/narrowedAt'
import { inTransaction } from '@/lib/store/transaction'
import { freshDatabase } from '@/tests/setup/database'

const NOW = Date.parse('2026-11-28T12:00:00Z')
const ACTOR = { who: 'person 7', name: 'Someone', address: null }

test('someone is let see less when a plant, a desk or the whole is taken from them, not when they are given one', async () => {
  const { app, door } = await freshDatabase()
  const entry = {
    email: 'one@test.invalid',
    name: 'One',
    zone: 'UTC',
    roles: { ...NO_ROLES, plants: ['PL1'] },
  }
  const id = (await inTransaction(door, (db) => insertPerson(db, entry, ACTOR, NOW))) as string
  let before = { ...entry, hasLeft: false }
  const become = async (roles: Partial<typeof before.roles>, at: number, name = 'One') => {
    const after = { ...before, name, roles: { ...NO_ROLES, ...roles } as typeof before.roles }
    await inTransaction(door, (db) => updatePerson(db, id, { before, after }, ACTOR, at))
    before = after
    return narrowedAt(app, id)
  }
  expect(await narrowedAt(app, id)).toBeNull()
  expect(await become({ plants: ['PL1'] }, NOW + 1, 'Another name')).toBeNull()
  expect(await become({ plants: ['PL1', 'PL2'] }, NOW + 2)).toBeNull()
  expect(await become({ plants: ['PL2'] }, NOW + 3)).toBe(NOW + 3)
  expect(await become({ plants: ['PL2'], isAdministrator: true }, NOW + 4)).toBe(NOW + 3)
  expect(await become({ plants: ['PL2'] }, NOW + 5)).toBe(NOW + 5)
  expect(await narrowedAt(app, 'nobody')).toBeNull()
  await setMailbox(door, id, 'shared@test.invalid', ACTOR, NOW + 6)
  expect(await narrowedAt(app, id)).toBe(NOW + 6)
})
