import { afterEach, beforeEach, expect, test } from 'vitest'
import { findAlertRecipients } from '@/lib/digest/alerts/alertRecipients'
import { getFeedPlants } from '@/lib/digest/calendar/plantFeeds'
import { groupMailboxes } from '@/lib/digest/weekly/mailboxGroups'
import { NO_ROLES, ROLES, type Roles } from '@/lib/policy/personRoles'
import { getScope, type Person } from '@/lib/policy/principal'
import { getReporter, mayKnowPlant } from '@/lib/policy/reporting'
import type { DigestPerson } from '@/lib/store/people/digestPeople'
import { createDigestPerson } from '@/tests/digest/digestPerson'

// The table alone makes a role that sees everything and reports nothing; for one test, the reader is such a role.
const { sees } = ROLES.reader
beforeEach(() => {
  ROLES.reader.sees = 'samples'
})
afterEach(() => {
  ROLES.reader.sees = sees
})

const AUDITOR: Roles = { ...NO_ROLES, isReader: true }
const person = (roles: Roles): Person => ({ kind: 'person', id: 'p', email: 'p@a.example', name: 'P', roles })

test('a role that sees all sees every sample, plant and calendar', () => {
  expect(getScope(person(AUDITOR))).toBe('all')
  expect(getScope(person({ ...AUDITOR, plants: ['PL1'] }))).toBe('all')
  expect(mayKnowPlant(person(AUDITOR), 'PL2')).toBe(true)
  expect(getFeedPlants(person(AUDITOR))).toBeNull()
})

test('and may report no more', () => {
  expect(getReporter(person(AUDITOR))).toMatchObject({ sides: [], plants: [], laboratories: [] })
  expect(getReporter(person({ ...AUDITOR, plants: ['PL1'] }))).toMatchObject({ plants: ['PL1'] })
})

const mailed = (id: string, roles: Roles, more: Partial<DigestPerson> = {}) =>
  createDigestPerson({ ...roles, id, email: `${id}@a.example`, name: id, alerts: { lapsed: 0 }, ...more })

test('and gets alerts about any sample, and may stand in for anyone', () => {
  const today = () => '2026-11-30'
  const place = { code: '7KQ2M94Y', plant: 'PL1', laboratory: 'LAB' }
  const auditor = mailed('auditor', AUDITOR)
  expect(findAlertRecipients([auditor], today, 'lapsed', place, 1)).toEqual([
    { personId: 'auditor', carriedBy: null },
  ])
  const standIn = { id: 'auditor', from: '2026-11-01', until: '2026-12-01' }
  const away = [
    mailed('contact', { ...NO_ROLES, plants: ['PL1'] }, { standIn }),
    mailed('chief', { ...NO_ROLES, isAdministrator: true }, { standIn }),
  ]
  expect([...groupMailboxes([auditor, ...away], today).values()]).toEqual(['auditor', 'auditor'])
  const other = { id: 'contact', from: '2026-11-01', until: '2026-12-01' }
  const contact = mailed('contact', { ...NO_ROLES, plants: ['PL1'] })
  expect([...groupMailboxes([{ ...auditor, standIn: other }, contact], today)]).toEqual([])
})
