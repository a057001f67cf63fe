import { mkdtempSync, readdirSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, test } from 'vitest'
import { isSameOrigin } from '@/lib/access/session/sameOrigin'
import { signInAddress, wantedPath } from '@/lib/access/session/wanted'
import { PLACE_LISTS, ROLE_NAMES, ROLES } from '@/lib/policy/personRoles'
import { demoPerson } from '@/lib/store/people/demoPeople'
import { markDemo } from '@/lib/store/scope/mark'
import { signInSecret } from '@/lib/store/site'
import { freshDatabase } from '@/tests/setup/database'
import { fillTwoMakers, REGISTER } from './twoMakers'

describe('where one wanted to go', () => {
  test.each([
    ['/plants/PL1', '/plants/PL1'],
    ['/?search=a%20b&standing=tight', '/?search=a%20b&standing=tight'],
    ['/samples/7KQ2-M94Y?_rsc=1x', '/samples/7KQ2-M94Y'],
  ])('%s is kept', (given, kept) => {
    const path = wantedPath(given)
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
    expect(wantedPath(given)).toBe(null)
    expect(signInAddress(given)).toBe('/sign-in')
  })
})

describe('a write', () => {
  const write = (headers: Record<string, string>) =>
    isSameOrigin(
      new Request('http://here.example/api', {
        method: 'POST',
        headers: { host: 'here.example', ...headers },
      }),
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

  test('is made once, kept where only its owner reads it, and the given one goes before it', () => {
    const made = signInSecret(undefined, folder)
    expect(made.length).toBeGreaterThanOrEqual(43)
    expect(signInSecret(undefined, folder)).toBe(made)
    expect(signInSecret('given', folder)).toBe('given')
    expect(statSync(join(folder, 'secret')).mode & 0o777).toBe(0o600)
    expect(readdirSync(folder)).toEqual(['secret'])
  })
})

test('the demo’s people are there on a demo database, and on no other', async () => {
  const { app, door, owner } = await freshDatabase()
  for (const role of ROLE_NAMES) expect(await demoPerson(app, door, role, Date.now())).toBe(null)
  expect((await owner.query('select from person')).rowCount).toBe(0)
  await markDemo(app, Date.now())
  const id = await demoPerson(app, door, 'administrator', Date.now())
  expect(id).toEqual(expect.any(String))
  expect(await demoPerson(app, door, 'administrator', Date.now())).toBe(id)
  expect((await owner.query('select role from person_role')).rows).toEqual([{ role: 'administrator' }])
})

test('the demo’s contact and desk are of a place, and read times in its zone', async () => {
  const database = await freshDatabase()
  await fillTwoMakers(database)
  await markDemo(database.app, Date.now())
  for (const role of ROLE_NAMES) {
    const { of } = ROLES[role]
    if (of === null) continue
    const id = await demoPerson(database.app, database.door, role, Date.now())
    const { rows } = await database.door.query<{ zone: string; place: string }>(
      'select zone, place from person join person_role on person_id = person.id where person.id = $1',
      [id],
    )
    const entries: readonly { code: string; zone: string }[] = REGISTER[PLACE_LISTS[of]]
    expect(rows.map(({ zone }) => zone)).toEqual(
      entries.filter(({ code }) => code === rows[0]?.place).map(({ zone }) => zone),
    )
  }
})
