import { describe, expect, test } from 'vitest'
import { EVENT_KINDS } from '@/lib/custody/event'
import { KINDS, type Side } from '@/lib/custody/eventKinds'
import { getHandPersonId, listReportableKinds, mayMove, mayRecord } from '@/lib/policy/mayRecord'
import { NO_ROLES } from '@/lib/policy/personRoles'
import type { Person, Roles } from '@/lib/policy/principal'
import { handSource } from '@/lib/policy/reporting'

const SAMPLE = { plant: 'PL1', laboratory: 'LAB' }

function someone(roles: Partial<Roles>): Person {
  const all = { ...NO_ROLES, ...roles }
  return { kind: 'person', id: 'p1', email: 'p1@example.org', name: 'Someone', roles: all }
}

const listKinds = (person: Person, sample = SAMPLE) =>
  EVENT_KINDS.filter((kind) => mayRecord(person, kind, sample))

const listReportedBy = (side: Side) => EVENT_KINDS.filter((kind) => KINDS[kind].reportedBy.includes(side))
const OF_PLANT = listReportedBy('plant')
const OF_LABORATORY = listReportedBy('laboratory')

describe('who may record what by hand', () => {
  test('an administrator records everything', () => {
    expect(listKinds(someone({ isAdministrator: true }))).toEqual(EVENT_KINDS)
  })

  test('a plant contact records what happens at the plant, and nothing of another plant', () => {
    const person = someone({ plants: ['PL1'] })
    expect(listKinds(person)).toEqual(OF_PLANT)
    expect(listKinds(person, { plant: 'PL2', laboratory: 'LAB' })).toEqual([])
  })

  test('a laboratory desk records what happens there, and nothing at another laboratory', () => {
    const person = someone({ laboratories: ['LAB'] })
    expect(listKinds(person)).toEqual(OF_LABORATORY)
    expect(listKinds(person, { plant: 'PL1', laboratory: 'FAR' })).toEqual([])
  })

  test('only an administrator records what the carrier or the programme reports', () => {
    const both = listKinds(someone({ plants: ['PL1'], laboratories: ['LAB'], isReader: true }))
    expect(both).toEqual(expect.arrayContaining(['collected', 'returned', 'received', 'deviation']))
    for (const kind of ['delivered', 'ruling', 'withdrawn']) expect(both).not.toContain(kind)
  })

  test('someone with both roles records by the role that fits the sample’s place', () => {
    const person = someone({ plants: ['PL1'], laboratories: ['FAR'] })
    expect(listKinds(person)).toEqual(OF_PLANT)
    expect(listKinds(person, { plant: 'PL2', laboratory: 'FAR' })).toEqual(OF_LABORATORY)
  })

  test('a plant’s code is no laboratory’s', () => {
    expect(listKinds(someone({ plants: ['LAB'], laboratories: ['PL1'] }))).toEqual([])
  })

  test('kinds are listed over all samples, as reports are judged by them', () => {
    const all = (roles: Partial<Roles>) => listReportableKinds(someone(roles).roles)
    expect(all({ isAdministrator: true })).toBeNull()
    expect([...(all({ plants: ['PL1'] }) ?? [])].sort()).toEqual([...OF_PLANT].sort())
    expect(all({ plants: ['PL1'], laboratories: ['LAB'] })).toHaveLength(
      OF_PLANT.length + OF_LABORATORY.length,
    )
    expect(all({ isReader: true })).toEqual([])
  })

  test('a reader records nothing', () => expect(listKinds(someone({ isReader: true }))).toEqual([]))
})

test('only an administrator moves events to another kit', () => {
  expect(mayMove(someone({ isAdministrator: true }))).toBe(true)
  expect(mayMove(someone({ plants: ['PL1'], laboratories: ['LAB'], isReader: true }))).toBe(false)
})

test('the source of a report by hand names its person, and other sources name none', () => {
  expect(handSource(someone({}))).toBe('hand p1')
  expect(getHandPersonId('hand p1')).toBe('p1')
  expect(getHandPersonId('handler p1')).toBeNull()
})
