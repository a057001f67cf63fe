import { expect, test } from 'vitest'
import {
  hasRole,
  LISTED_ROLES,
  listRoles,
  NO_ROLES,
  ROLE_NAMES,
  ROLES,
  toRoles,
} from '@/lib/policy/personRoles'

const listFor = (role: (typeof ROLE_NAMES)[number]) =>
  (ROLES[role].placeKind === null ? [''] : ['B', 'A']).map((place) => ({ role, place }))

test.each(ROLE_NAMES)('a role is listed as it was given, and is no other: %s', (role) => {
  const roles = toRoles(listFor(role))
  expect(listRoles(roles)).toEqual(listFor(role))
  expect(ROLE_NAMES.filter((one) => hasRole(roles, one))).toEqual([role])
})

test('someone with every role has each, and all are listed', () => {
  const every = ROLE_NAMES.flatMap(listFor)
  expect(listRoles(toRoles(every))).toEqual(every)
  expect([...LISTED_ROLES].sort()).toEqual([...ROLE_NAMES].sort())
})

test('an unknown role is ignored', () => {
  expect(toRoles([{ role: 'owner', place: 'A' }])).toEqual(NO_ROLES)
})
