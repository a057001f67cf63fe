import { beforeAll, describe, expect, test } from 'vitest'
import { EVENT_KINDS } from '@/lib/custody/event'
import { ROLE_NAMES, ROLES, type RoleName, toRoles } from '@/lib/policy/personRoles'
import { getScope, type Person } from '@/lib/policy/principal'
import { listReportableKinds, may } from '@/lib/policy/reporting'
import { listAudiences } from '@/lib/policy/routes'
import { ensurePerson, readRoles } from '@/lib/store/people/people'
import { makeTestDatabase, type TestDatabase } from '../../setup/database'

const ENDS = { plant: 'PL1', laboratory: 'LAB' }
const ACTOR = { who: 'command', name: 'a test', address: null }

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})

const placeFor = (role: RoleName) => {
  const { placeKind: of } = ROLES[role]
  return of === null ? '' : ENDS[of]
}
const someone = (role: RoleName): Person => {
  const roles = toRoles([{ role, place: placeFor(role) }])
  return { kind: 'person', id: 'p1', email: 'p1@example.org', name: 'Someone', roles }
}

describe.each(ROLE_NAMES)('%s', (role) => {
  test('is stored by the database, with a place only if it has one', async () => {
    const { authPool } = database
    const place = placeFor(role)
    const email = `${role.replace(' ', '-')}@test.invalid`
    const id = await ensurePerson(authPool, { email, name: 'A', roles: [{ role, place }] }, ACTOR, Date.now())
    expect(await readRoles(authPool, id)).toEqual(toRoles([{ role, place }]))
    const odd = { role, place: place === '' ? 'PL1' : '' }
    await expect(
      ensurePerson(authPool, { email, name: 'A', roles: [odd] }, ACTOR, Date.now()),
    ).rejects.toThrow(/person_role_known/)
  })

  test('has one side, and sees the samples of its place, all, or none', () => {
    expect([...listAudiences(someone(role))].sort()).toEqual(['anyone', 'person', role].sort())
    const { placeKind: of, sees } = ROLES[role]
    const [plants, laboratories] = [of === 'plant' ? ['PL1'] : [], of === 'laboratory' ? ['LAB'] : []]
    expect(getScope(someone(role))).toEqual(
      of === null && sees === 'samples' ? 'all' : { plants, laboratories },
    )
  })

  test('reports what its side may, about its own samples only', () => {
    const { side: speaksFor } = ROLES[role]
    const reported = listReportableKinds(someone(role))
    if (speaksFor === 'programme') expect(reported).toEqual(EVENT_KINDS)
    else expect(reported.length > 0).toBe(speaksFor !== null)
    const kinds = (ends: typeof ENDS) => EVENT_KINDS.filter((kind) => may(someone(role), kind, ends))
    expect(kinds(ENDS)).toEqual(reported)
    expect(kinds({ plant: 'PL2', laboratory: 'LAB2' })).toEqual(speaksFor === 'programme' ? EVENT_KINDS : [])
  })
})

test('the database knows no other role', async () => {
  const { rows } = await database.owner.query<{ definition: string }>(
    `select pg_get_constraintdef(oid) as definition from pg_constraint where conname = 'person_role_known'`,
  )
  const known = [...(rows[0]?.definition ?? '').matchAll(/'([^']+)'::/g)].map(([, name]) => name)
  expect([...new Set(known)].sort()).toEqual([...ROLE_NAMES].sort())
})
