import { mkdtempSync, readdirSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, test } from 'vitest'
import { buildSignInPath, parseReturnPath } from '@/lib/access/session/returnPath'
import { isSameOrigin } from '@/lib/access/session/sameOrigin'
import { PLACE_LISTS, ROLE_NAMES, ROLES } from '@/lib/policy/personRoles'
import { ensureDemoPerson } from '@/lib/store/people/demoPeople'
import { markAsDemo } from '@/lib/store/scope/appMetadata'
import { ensureSignInSecret } from '@/lib/store/site'
import { makeTestDatabase } from '@/tests/setup/database'
import { fillTwoMakers, REGISTER } from './twoMakers'

describe('the path to return to after sign-in', () => {
  test.each([
    ['/plants/PL1', '/plants/PL1'],
    ['/?search=a%20b&group=tight', '/?search=a%20b&group=tight'],
    ['/samples/7KQ2-M94Y?_rsc=1x', '/samples/7KQ2-M94Y'],
  ])('%s is kept', (given, kept) => {
    const path = parseReturnPath(given)
    expect(path && new URL(path, 'http://a').href).toBe(new URL(kept, 'http://a').href.replace('%20', '+'))
  })

  test.each([
    'https://elsewhere.example/',
    '//elsewhere.example/',
    '/\\elsewhere.example',
    '/\t/elsewhere.example',
    '/..//elsewhere.example',
    '/.//elsewhere.example',
    'javascript:alert(1)',
    'plants/PL1',
    '/sign-in?to=/',
    '/api/sign-out',
    '/',
    '',
    `/${'a'.repeat(600)}`,
  ])('%j is not', (given) => {
    expect(parseReturnPath(given)).toBe(null)
    expect(buildSignInPath(given)).toBe('/sign-in')
  })
})

describe('a write', () => {
  const write = (headers: Record<string, string>) =>
    isSameOrigin(
      new Request('http://here.example/api', {
        method: 'POST',
        headers: { host: 'here.example', ...headers },
      }),
      'http://here.example',
    )

  test.each<Record<string, string>>([{ origin: 'http://here.example' }, { 'sec-fetch-site': 'same-origin' }])(
    'with %j is from here',
    (headers) => expect(write(headers)).toBe(true),
  )

  test.each<Record<string, string>>([
    {},
    { origin: 'null' },
    { origin: 'http://elsewhere.example' },
    { origin: 'http://here.example.elsewhere.example' },
    { 'sec-fetch-site': 'same-site' },
    { 'sec-fetch-site': 'cross-site' },
    { 'sec-fetch-site': 'none' },
  ])('with %j is not', (headers) => expect(write(headers)).toBe(false))
})

describe('the secret', () => {
  const folder = mkdtempSync(join(tmpdir(), 'holdfast-secret-'))
  afterAll(() => rmSync(folder, { recursive: true, force: true }))

  test('is created once, readable by its owner only, and a given one takes precedence', () => {
    const made = ensureSignInSecret(undefined, folder)
    expect(made.length).toBeGreaterThanOrEqual(43)
    expect(ensureSignInSecret(undefined, folder)).toBe(made)
    expect(ensureSignInSecret('given', folder)).toBe('given')
    expect(statSync(join(folder, 'secret')).mode & 0o777).toBe(0o600)
    expect(readdirSync(folder)).toEqual(['secret'])
  })
})

test('the demo’s people exist on a demo database only', async () => {
  const { app, authPool, owner } = await makeTestDatabase()
  for (const role of ROLE_NAMES) expect(await ensureDemoPerson(app, authPool, role, Date.now())).toBe(null)
  expect((await owner.query('select from person')).rowCount).toBe(0)
  await markAsDemo(app, Date.now())
  const id = await ensureDemoPerson(app, authPool, 'administrator', Date.now())
  expect(id).toEqual(expect.any(String))
  expect(await ensureDemoPerson(app, authPool, 'administrator', Date.now())).toBe(id)
  expect((await owner.query('select role from person_role')).rows).toEqual([{ role: 'administrator' }])
})

test('the demo’s contact and desk belong to a place and read times in its zone', async () => {
  const database = await makeTestDatabase()
  await fillTwoMakers(database)
  await markAsDemo(database.app, Date.now())
  for (const role of ROLE_NAMES) {
    const { placeKind: of } = ROLES[role]
    if (of === null) continue
    const id = await ensureDemoPerson(database.app, database.authPool, role, Date.now())
    const { rows } = await database.authPool.query<{ zone: string; place: string }>(
      'select zone, place from person join person_role on person_id = person.id where person.id = $1',
      [id],
    )
    const entries: readonly { code: string; zone: string }[] = REGISTER[PLACE_LISTS[of]]
    expect(rows.map(({ zone }) => zone)).toEqual(
      entries.filter(({ code }) => code === rows[0]?.place).map(({ zone }) => zone),
    )
  }
})
