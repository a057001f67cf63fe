import { describe, expect, test } from 'vitest'
import { EVENT_KINDS } from '@/lib/custody/event'
import { kindsReportedAs } from '@/lib/policy/mayRecord'
import { NO_ROLES } from '@/lib/policy/personRoles'
import type { Key, Person } from '@/lib/policy/principal'
import {
  handSource,
  isHistoryBelieved,
  mayKnowPlant,
  maySetRegister,
  reportingFault,
} from '@/lib/policy/reporting'

const key: Key = {
  kind: 'key',
  id: 'k',
  name: 'dock',
  sources: ['north dock', 'south dock'],
  kinds: ['dispatched', 'withdrawn'],
  plants: ['PL1'],
  laboratories: null,
  mayImportHistory: false,
  maySetRegister: false,
}
const person: Person = {
  kind: 'person',
  id: '7',
  email: 'someone@plant.example',
  name: 'Someone',
  roles: { ...NO_ROLES, plants: ['PL1'] },
}
const administrator: Person = { ...person, id: '1', roles: { ...person.roles, isAdministrator: true } }

const pointerOf = (principal: Key | Person, source: string, kind = 'dispatched') =>
  reportingFault(principal, { source, kind })?.pointer ?? null

describe('a key reports', () => {
  test('its kinds under its sources, and nothing else', () => {
    expect(pointerOf(key, 'south dock')).toBeNull()
    expect(pointerOf(key, 'west dock')).toBe('/source')
    expect(pointerOf(key, 'North dock')).toBe('/source')
    expect(pointerOf(key, 'north dock', 'received')).toBe('/kind')
    expect(pointerOf({ ...key, kinds: null }, 'north dock', 'received')).toBeNull()
  })

  test('never under the source of a person, even if its row says so', () => {
    expect(pointerOf({ ...key, sources: ['hand 7'] }, 'hand 7')).toBe('/source')
  })

  test('and is told what it may', () => {
    expect(reportingFault(key, { source: 'x', kind: 'lost' })?.right).toContain(
      '"north dock" or "south dock"',
    )
    expect(reportingFault(key, { source: 'north dock', kind: 'lost' })?.right).toContain(
      'dispatched, withdrawn',
    )
  })
})

describe('a person reports', () => {
  test('under a source of their own only', () => {
    expect(pointerOf(person, handSource(person))).toBeNull()
    expect(pointerOf(person, handSource(administrator))).toBe('/source')
    expect(pointerOf(person, 'north dock')).toBe('/source')
  })

  test('as an administrator under any that is not another person', () => {
    expect(pointerOf(administrator, 'north dock')).toBeNull()
    expect(pointerOf(administrator, handSource(administrator))).toBeNull()
    expect(pointerOf(administrator, handSource(person))).toBe('/source')
    expect(pointerOf(administrator, 'HAND 7')).toBe('/source')
  })
})

describe('a person who reports no kind at all', () => {
  const reader = { ...person, roles: { ...NO_ROLES, isReader: true } }
  const noRole = { ...person, roles: NO_ROLES }

  test.each([
    ['a reader', reader],
    ['a person with no role', noRole],
  ])('is refused whatever they send, under any source: %s', (_, one) => {
    expect(kindsReportedAs(one.roles)).toEqual([])
    for (const source of [handSource(one), 'north dock'])
      for (const kind of EVENT_KINDS)
        expect(reportingFault(one, { source, kind }), kind).toEqual({
          pointer: '/kind',
          detail: 'Nothing that you are reports events.',
          right: 'Have an administrator give you a role that does, or someone who has one report it.',
        })
  })

  test('who reports some is told which, and withdraws them', () => {
    expect(pointerOf(person, handSource(person), 'withdrawn')).toBeNull()
    expect(reportingFault(person, { source: handSource(person), kind: 'received' })).toEqual({
      pointer: '/kind',
      detail: '"received" is not yours to report.',
      right: `You report ${kindsReportedAs(person.roles)?.join(', ')}, and withdraw what you may report.`,
    })
  })
})

test('what a principal may know, set and have believed', () => {
  expect([mayKnowPlant(key, 'PL1'), mayKnowPlant(key, 'PL2')]).toEqual([true, false])
  expect(mayKnowPlant({ ...key, plants: null }, 'PL2')).toBe(true)
  expect(mayKnowPlant({ ...key, plants: null, laboratories: ['LAB'] }, 'PL2')).toBe(false)
  expect([mayKnowPlant(person, 'PL1'), mayKnowPlant(person, 'PL2')]).toEqual([true, false])
  expect(mayKnowPlant(administrator, 'PL2')).toBe(true)
  expect(isHistoryBelieved({ ...key, mayImportHistory: true })).toBe(true)
  expect([key, person, administrator].map(isHistoryBelieved)).toEqual([false, false, false])
  const all = { ...key, plants: null, maySetRegister: true }
  expect(maySetRegister(all)).toBe(true)
  for (const one of [key, { ...all, plants: ['PL1'] }, { ...all, laboratories: ['LAB'] }, person])
    expect(maySetRegister(one)).toBe(false)
  expect(maySetRegister(administrator)).toBe(true)
})
