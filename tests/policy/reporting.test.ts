import { describe, expect, test } from 'vitest'
import { EVENT_KINDS } from '@/lib/custody/event'
import { english } from '@/lib/messages/english'
import { message } from '@/lib/messages/message'
import { handSource } from '@/lib/policy/handSource'
import { NO_ROLES } from '@/lib/policy/personRoles'
import type { ApiKey, Person } from '@/lib/policy/principal'
import {
  findReportingFault,
  isReportedAtTrusted,
  listReportableKinds,
  mayKnowPlant,
  maySetRegister,
} from '@/lib/policy/reporting'

const key: ApiKey = {
  kind: 'key',
  id: 'k',
  name: 'dock',
  sources: ['north dock', 'south dock'],
  sides: ['plant'],
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

const getPointer = (principal: ApiKey | Person, source: string, kind = 'dispatched') =>
  findReportingFault(principal, { source, kind })?.pointer ?? null

const getCure = (principal: ApiKey | Person, source: string, kind: string) => {
  const fault = findReportingFault(principal, { source, kind })
  return fault && english.message(fault.right)
}

describe('a key reports', () => {
  test('its kinds under its sources, and nothing else', () => {
    expect(getPointer(key, 'south dock')).toBeNull()
    expect(getPointer(key, 'west dock')).toBe('/source')
    expect(getPointer(key, 'North dock')).toBe('/source')
    expect(getPointer(key, 'north dock', 'received')).toBe('/kind')
    expect(getPointer({ ...key, kinds: ['received'] }, 'north dock', 'received')).toBeNull()
  })

  test('never under a person’s source, even if its row says so', () => {
    expect(getPointer({ ...key, sources: ['hand 7'] }, 'hand 7')).toBe('/source')
  })

  test('and learns what it may report', () => {
    expect(getCure(key, 'x', 'lost')).toBe(
      'Use one of its sources: north dock, south dock. Or ask an administrator for a key with this source.',
    )
    expect(getCure(key, 'north dock', 'lost')).toBe('It may report: dispatched, withdrawn.')
  })
})

describe('a person reports', () => {
  test('under a source of their own only', () => {
    expect(getPointer(person, handSource(person))).toBeNull()
    expect(getPointer(person, handSource(administrator))).toBe('/source')
    expect(getPointer(person, 'north dock')).toBe('/source')
  })

  test('as an administrator under any source except another person’s', () => {
    expect(getPointer(administrator, 'north dock')).toBeNull()
    expect(getPointer(administrator, handSource(administrator))).toBeNull()
    expect(getPointer(administrator, handSource(person))).toBe('/source')
    expect(getPointer(administrator, 'HAND 7')).toBe('/source')
  })
})

describe('a person who may report no kind', () => {
  const reader = { ...person, roles: { ...NO_ROLES, isReader: true } }
  const noRole = { ...person, roles: NO_ROLES }

  test.each([
    ['a reader', reader],
    ['a person with no role', noRole],
  ])('is always refused, under any source: %s', (_, one) => {
    expect(listReportableKinds(one)).toEqual([])
    for (const source of [handSource(one), 'north dock'])
      for (const kind of EVENT_KINDS)
        expect(findReportingFault(one, { source, kind }), kind).toEqual({
          pointer: '/kind',
          detail: message('reporting.noRole'),
          right: message('reporting.fix.noRole'),
        })
  })

  test('may withdraw what they may report, and learns the kinds', () => {
    expect(getPointer(person, handSource(person), 'withdrawn')).toBeNull()
    expect(getCure(person, handSource(person), 'received')).toBe(
      `You may report these, and withdraw them: ${listReportableKinds(person)
        .filter((kind) => kind !== 'withdrawn')
        .join(', ')}.`,
    )
  })
})

test('rights to know a plant, to set the register and to import history', () => {
  expect([mayKnowPlant(key, 'PL1'), mayKnowPlant(key, 'PL2')]).toEqual([true, false])
  expect(mayKnowPlant({ ...key, sides: ['carrier'], plants: null }, 'PL2')).toBe(true)
  expect(mayKnowPlant({ ...key, sides: ['laboratory'], plants: null, laboratories: ['LAB'] }, 'PL2')).toBe(
    false,
  )
  expect([mayKnowPlant(person, 'PL1'), mayKnowPlant(person, 'PL2')]).toEqual([true, false])
  expect(mayKnowPlant(administrator, 'PL2')).toBe(true)
  expect(isReportedAtTrusted({ ...key, mayImportHistory: true })).toBe(true)
  expect([key, person, administrator].map(isReportedAtTrusted)).toEqual([false, false, false])
  const all: ApiKey = { ...key, sides: ['programme'], plants: null, maySetRegister: true }
  expect(maySetRegister(all)).toBe(true)
  for (const one of [key, { ...key, maySetRegister: true }, person]) expect(maySetRegister(one)).toBe(false)
  expect(maySetRegister(administrator)).toBe(true)
})
