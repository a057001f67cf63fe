import { afterEach, beforeEach, expect, test } from 'vitest'
import { atOnceRecipients } from '@/lib/digest/alerts/atOnceRecipients'
import { feedPlantsOf } from '@/lib/digest/calendar/plantFeeds'
import { carriersOf } from '@/lib/digest/weekly/carriers'
import { NO_ROLES, ROLES, type Roles } from '@/lib/policy/personRoles'
import { type Person, scopeOf } from '@/lib/policy/principal'
import { mayKnowPlant, reportingOf } from '@/lib/policy/reporting'
import type { DigestPerson } from '@/lib/store/people/digestPeople'
import { digestPerson } from '@/tests/digest/digestPerson'

// The row alone makes a role that sees all and reports nothing: for the while of a test that of a reader does.
const { sees } = ROLES.reader
beforeEach(() => {
  ROLES.reader.sees = 'samples'
})
afterEach(() => {
  ROLES.reader.sees = sees
})

const AUDITOR: Roles = { ...NO_ROLES, isReader: true }
const person = (roles: Roles): Person => ({ kind: 'person', id: 'p', email: 'p@a.example', name: 'P', roles })

test('whoever has a role that sees all sees every sample, plant and calendar', () => {
  expect(scopeOf(person(AUDITOR))).toBe('all')
  expect(scopeOf(person({ ...AUDITOR, plants: ['PL1'] }))).toBe('all')
  expect(mayKnowPlant(person(AUDITOR), 'PL2')).toBe(true)
  expect(feedPlantsOf(person(AUDITOR))).toBeNull()
})

test('and reports no more for it', () => {
  expect(reportingOf(person(AUDITOR))).toMatchObject({ kinds: [], plants: [], laboratories: [] })
  expect(reportingOf(person({ ...AUDITOR, plants: ['PL1'] }))).toMatchObject({ plants: ['PL1'] })
})

const mailed = (id: string, roles: Roles, more: Partial<DigestPerson> = {}) =>
  digestPerson({ ...roles, id, email: `${id}@a.example`, name: id, atOnce: { lapsed: 0 }, ...more })

test('and is told at once of any sample, and may stand in for anyone', () => {
  const today = () => '2026-11-30'
  const place = { code: '7KQ2M94Y', plant: 'PL1', laboratory: 'LAB' }
  const auditor = mailed('auditor', AUDITOR)
  expect(atOnceRecipients([auditor], today, 'lapsed', place, 1)).toEqual([
    { personId: 'auditor', carriedBy: null },
  ])
  const standIn = { id: 'auditor', from: '2026-11-01', until: '2026-12-01' }
  const away = [
    mailed('contact', { ...NO_ROLES, plants: ['PL1'] }, { standIn }),
    mailed('chief', { ...NO_ROLES, isAdministrator: true }, { standIn }),
  ]
  expect([...carriersOf([auditor, ...away], today).values()]).toEqual(['auditor', 'auditor'])
  const other = { id: 'contact', from: '2026-11-01', until: '2026-12-01' }
  const contact = mailed('contact', { ...NO_ROLES, plants: ['PL1'] })
  expect([...carriersOf([{ ...auditor, standIn: other }, contact], today)]).toEqual([])
})
