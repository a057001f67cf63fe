import { expect, test } from 'vitest'
import { describeRoles, hasNoRole } from '@/app/me/roles'
import { describeRoles as inList } from '@/app/setup/people/describeRoles'
import { english } from '@/lib/messages/english'
import { NO_ROLES, ROLE_NAMES, ROLES, toRoles } from '@/lib/policy/personRoles'

const listFor = (role: (typeof ROLE_NAMES)[number], places = ['A', 'B']) =>
  (ROLES[role].placeKind === null ? [''] : places).map((place) => ({ role, place }))

test.each(ROLE_NAMES)('each role has its own sentence, with its places: %s', (role) => {
  const roles = toRoles(listFor(role))
  for (const { place } of listFor(role)) {
    expect(inList(english, roles)).toContain(place)
    expect(describeRoles(english, roles)).toContain(place)
  }
  expect(describeRoles(english, roles)).toMatch(/^[A-Z].*\.$/)
  for (const one of ROLE_NAMES.filter((other) => other !== role))
    expect(inList(english, roles)).not.toContain(inList(english, toRoles(listFor(one, ['']))).trim())
  expect(hasNoRole(roles)).toBe(false)
})

test('several roles are several sentences', () => {
  const all = (places?: string[]) => toRoles(ROLE_NAMES.flatMap((role) => listFor(role, places)))
  expect(inList(english, all())).toBe('administrator; reader; contact of A and B; receiving desk of A and B')
  expect(describeRoles(english, all())).toBe(
    'You are an administrator. You are the contact of the plants A and B. You work at the receiving desk of the laboratories A and B. You read the programme’s figures.',
  )
  expect(describeRoles(english, all(['A']))).toContain(
    'You are the contact of plant A. You work at the receiving desk of laboratory A.',
  )
})

test('no role is a sentence of its own', () => {
  expect(hasNoRole(NO_ROLES)).toBe(true)
  expect(describeRoles(english, NO_ROLES)).toBe('You have no role in the programme yet.')
  expect(inList(english, NO_ROLES)).toBe('no role yet, so no access')
})
