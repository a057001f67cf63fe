import { expect, test } from 'vitest'
import { ROUTES } from '@/lib/policy/routes'
import { matchRoute } from '@/lib/telemetry/matchRoute'

test.each([...new Set(Object.keys(ROUTES).map((name) => name.split(' ')[1] as string))])(
  '%s is found, and nothing that stands in the address is told',
  (address) => {
    const path = address.replaceAll(/\[\w+\]/g, 'SECRET')
    expect(matchRoute(`${path}?token=SECRET`)).toBe(address)
  },
)

test('what is given wins over what can be anything', () => {
  expect(matchRoute('/setup/people/changes/1')).toBe('/setup/people/changes/[id]')
  expect(matchRoute('/setup/csv/people')).toBe('/setup/csv/people')
  expect(matchRoute('/setup/csv/plants')).toBe('/setup/csv/[list]')
})

test('whatever else is asked for has one name', () => {
  for (const path of ['/wp-login.php', '/samples/a/b/c', '', '//', '/api/calendar/'])
    expect(matchRoute(path)).toMatch(/^(other|\/)$/)
  expect(matchRoute('/_next/static/chunks/a.js')).toBe('static')
})
