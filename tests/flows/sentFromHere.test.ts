import { beforeAll, describe, expect, test } from 'vitest'
import { ROUTES, type RouteName } from '@/lib/policy/routes'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, signInAs } from '@/tests/setup/signIn'
import { FORM } from './attackedProgramme'
import { CASES } from './matrixCases'
import { type RawAnswer, rawRequest } from './rawRequest'

/** The site behind a proxy that ends TLS, which the tests play. */
let site: TestServer
/** The same programme served on this machine alone. */
let local: TestServer
let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
  site = await startTestServer(database.url, {
    HOLDFAST_URL: 'https://desk.example',
    HOLDFAST_REQUESTS_A_MINUTE: '1000000',
  })
  local = await startTestServer(database.url)
})

/** Sends a form with an administrator's cookie, under the name that the cookie has over TLS and the one it has without. */
async function post(
  server: TestServer,
  host: string,
  from: Record<string, string>,
  path = '/api/me/zone',
): Promise<RawAnswer> {
  const { cookie } = await signInAs(database, ADMINISTRATOR)
  const body = 'zone=Europe/Vienna'
  const headers = {
    host,
    cookie: `${cookie}; __Secure-${cookie}`,
    'content-type': FORM,
    'content-length': String(body.length),
  }
  return rawRequest(server.address, path, { ...headers, ...from }, 'POST', body)
}

describe('a write with a session', () => {
  test.each<[string, Record<string, string>, number]>([
    ['its own page', { origin: 'https://desk.example' }, 303],
    [
      'its own page, as newer browsers say',
      { origin: 'https://desk.example', 'sec-fetch-site': 'same-origin' },
      303,
    ],
    ['its address without TLS, which anyone on the way can write', { origin: 'http://desk.example' }, 403],
    ['that, said to be its own', { origin: 'http://desk.example', 'sec-fetch-site': 'same-origin' }, 403],
    ['another port', { origin: 'https://desk.example:8443' }, 421],
    [
      'another site, said to be its own',
      { origin: 'https://desk.example', 'sec-fetch-site': 'cross-site' },
      403,
    ],
    ['another subdomain', { origin: 'https://desk.example', 'sec-fetch-site': 'same-site' }, 403],
    ['a local page, which is no page of the site', { origin: 'http://localhost' }, 403],
  ])('behind TLS from %s: %j gets %i', async (_, from, status) => {
    // The proxy's word about the scheme changes nothing: the site's URL says it.
    for (const scheme of ['https', 'http'])
      expect((await post(site, 'desk.example', { ...from, 'x-forwarded-proto': scheme })).status).toBe(status)
  })

  test.each(['localhost', '127.0.0.1'])(
    'on %s from the address it is served at, and no other',
    async (name) => {
      for (const server of [site, local]) {
        const { port } = new URL(server.address)
        const host = `${name}:${port}`
        const send = async (from: Record<string, string>) => (await post(server, host, from)).status
        expect(await send({ origin: `http://${host}` })).toBe(303)
        expect(await send({ origin: `http://${host}`, 'sec-fetch-site': 'cross-site' })).toBe(403)
        expect(await send({ origin: `https://${host}` })).toBe(403)
        expect(await send({ origin: `http://${name}:1` })).toBe(403)
        expect(await send({ origin: `http://${name}` })).toBe(403)
      }
    },
  )

  test('behind TLS is not sent from a page of this machine, nor the other way round', async () => {
    const { host } = new URL(site.address)
    expect((await post(site, host, { origin: 'https://desk.example' })).status).toBe(403)
    expect((await post(site, 'desk.example', { origin: `http://${host}` })).status).toBe(403)
  })
})

/** Act on the token in their address, or on nothing. */
const WITHOUT_SESSION: RouteName[] = ['POST /api/digest/stop', 'POST /api/health']

test.each(
  (Object.keys(ROUTES) as RouteName[]).filter(
    (name) => !/^(page|GET) /.test(name) && !WITHOUT_SESSION.includes(name),
  ),
)('%s is refused if a browser says that another site sent it, whatever its origin', async (route) => {
  const [method = '', address = ''] = route.split(' ')
  const path = CASES[route]?.path('own') ?? address
  const { cookie } = await signInAs(database, ADMINISTRATOR)
  for (const from of ['cross-site', 'same-site']) {
    const headers = {
      cookie,
      'content-type': 'application/json',
      origin: local.address,
      'sec-fetch-site': from,
    }
    const answer = await fetch(local.address + path, { method, headers, body: '{}', redirect: 'manual' })
    expect([answer.status, await answer.json()]).toMatchObject([403, { title: 'Not sent from this site' }])
  }
})
