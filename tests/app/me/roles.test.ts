import { expect, test } from 'vitest'
import { describeRoles, hasNoRole } from '@/app/me/roles'
import { describeRoles as inList } from '@/app/setup/people/refusedForms'
import { english } from '@/lib/messages/english'
import { NO_ROLES, ROLE_NAMES, ROLES, toRoles } from '@/lib/policy/personRoles'

const listFor = (role: (typeof ROLE_NAMES)[number], places = ['A', 'B']) =>
  (ROLES[role].placeKind === null ? [''] : places).map((place) => ({ role, place }))

test.each(ROLE_NAMES)('a role has words of its own, with its places: %s', (role) => {
  const roles = toRoles(listFor(role))
  for (const { place } of listFor(role)) {
    expect(inList(english, roles)).toContain(place)
    expect(describeRoles(english, roles)).toContain(place)
  }
  expect(describeRoles(english, roles)).toMatch(/^[A-Z].*\.$/)
  for (const one of ROLE_NAMES.filter((other) => other !== role))
    expect(inList(english, roles)).not.toContain(ROLES[one].label)
  expect(hasNoRole(roles)).toBe(false)
})

test('several are told one after the other', () => {
  const all = (places?: string[]) => toRoles(ROLE_NAMES.flatMap((role) => listFor(role, places)))
  expect(inList(english, all())).toBe('administrator; reader; contact of A, B; at the desk of A, B')
  expect(describeRoles(english, all())).toBe(
    'Administrator; contact of the plants A and B; at the desk of the laboratories A and B; reader of the programme’s figures.',
  )
  expect(describeRoles(english, all(['A']))).toContain(
    'contact of the plant A; at the desk of the laboratory A;',
  )
})

test('none is said to be none', () => {
  expect(hasNoRole(NO_ROLES)).toBe(true)
  expect(describeRoles(english, NO_ROLES)).toBe('Nothing in the programme yet.')
  expect(inList(english, NO_ROLES)).toBe('nothing yet: sees nothing')
})
