import { beforeAll, describe, expect, test } from 'vitest'
import { NO_ROLES, ROLE_NAMES, ROLES, type Role, type Roles, toRoles } from '@/lib/policy/personRoles'
import { findAccessLastReducedAt } from '@/lib/store/people/accessLastReducedAt'
import { setMailbox } from '@/lib/store/people/digestPreference'
import { insertPerson, type KnownPerson, updatePerson } from '@/lib/store/people/people'
import { transact } from '@/lib/store/scope/prisma'
import { makeTestDatabase, type TestDatabase } from '../../setup/database'

const NOW = Date.parse('2026-11-28T12:00:00Z')
const ACTOR = { who: 'person 7', name: 'Someone', address: null }

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})

let count = 0
/** Adds someone with these roles; each change of them returns when their access was last reduced. */
async function someone(roles: Roles) {
  const { app, authPool } = database
  const entry = { email: `${++count}@test.invalid`, name: 'One', zone: 'UTC', roles }
  const id = await transact(authPool, async (db, audit) => {
    const made = await insertPerson(db, entry, NOW)
    if (!made) throw new Error(`${entry.email} is there already.`)
    audit(ACTOR, NOW, made.line)
    return made.id
  })
  let before: KnownPerson = { ...entry, hasLeft: false }
  const become = async (change: Partial<KnownPerson>, at: number) => {
    const after = { ...before, ...change }
    await transact(authPool, async (db, audit) => {
      audit(ACTOR, at, ...(await updatePerson(db, id, { before, after }, at)))
    })
    before = after
    return findAccessLastReducedAt(app, id)
  }
  return { id, become, read: () => findAccessLastReducedAt(app, id) }
}

describe.each(ROLE_NAMES)('who is %s', (name) => {
  const { placeKind: of, sees } = ROLES[name]
  const whole: Role[] = (of === null ? [''] : ['A', 'B']).map((place) => ({ role: name, place }))
  const less = of === null ? [] : whole.slice(1)
  const at = (time: number) => (sees === 'samples' ? time : null)

  test('sees less when the role is removed, not when it is given or the person is renamed', async () => {
    const { become, read } = await someone(NO_ROLES)
    expect(await read()).toBeNull()
    expect(await become({ roles: toRoles(whole) }, NOW + 1)).toBeNull()
    expect(await become({ name: 'Another name' }, NOW + 2)).toBeNull()
    expect(await become({ roles: toRoles(less) }, NOW + 3)).toBe(at(NOW + 3))
    expect(await become({ roles: toRoles(whole) }, NOW + 4)).toBe(at(NOW + 3))
  })

  test('and when it is removed on leaving or readmission', async () => {
    const { become } = await someone(toRoles(whole))
    expect(await become({ hasLeft: true }, NOW + 1)).toBeNull()
    expect(await become({ hasLeft: false }, NOW + 2)).toBeNull()
    expect(await become({ hasLeft: true, roles: toRoles(less) }, NOW + 3)).toBe(at(NOW + 3))
    expect(await become({ roles: toRoles(whole) }, NOW + 4)).toBe(at(NOW + 3))
    expect(await become({ hasLeft: false, roles: toRoles(less) }, NOW + 5)).toBe(at(NOW + 5))
  })

  test('loses nothing while another role sees all', async () => {
    const all = { ...toRoles(whole), isAdministrator: true }
    const { become } = await someone(all)
    expect(await become({ roles: { ...NO_ROLES, isAdministrator: true } }, NOW + 1)).toBeNull()
  })
})

test('seeing some instead of all is less, and so is one plant instead of another', async () => {
  const { become } = await someone({ ...NO_ROLES, isAdministrator: true })
  expect(await become({ roles: { ...NO_ROLES, plants: ['A'], laboratories: ['L'] } }, NOW + 1)).toBe(NOW + 1)
  expect(await become({ roles: { ...NO_ROLES, plants: ['B'], laboratories: ['L'] } }, NOW + 2)).toBe(NOW + 2)
  expect(await become({ roles: { ...NO_ROLES, plants: ['L'], laboratories: ['B'] } }, NOW + 3)).toBe(NOW + 3)
})

test('another mailbox counts too; an unknown person has no such time', async () => {
  const { id, read } = await someone(NO_ROLES)
  await setMailbox(database.authPool, id, 'shared@test.invalid', ACTOR, NOW + 6)
  expect(await read()).toBe(NOW + 6)
  expect(await findAccessLastReducedAt(database.app, 'nobody')).toBeNull()
})

test('losing any role that sees all counts', async () => {
  const { sees } = ROLES.reader
  ROLES.reader.sees = 'samples'
  try {
    const { become } = await someone({ ...NO_ROLES, isReader: true })
    expect(await become({ roles: { ...NO_ROLES, plants: ['A'] } }, NOW + 1)).toBe(NOW + 1)
  } finally {
    ROLES.reader.sees = sees
  }
})
