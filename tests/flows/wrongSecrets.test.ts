import { createHash, createHmac, randomBytes } from 'node:crypto'
import { httpbis } from 'http-message-signatures'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { insertFeed } from '@/lib/store/people/calendarFeeds'
import { hashSecret } from '@/lib/store/people/keys'
import { ensurePerson } from '@/lib/store/people/people'
import { CODE_TRIES, requestLink } from '@/lib/store/people/signInRequest'
import { COMMAND } from '@/lib/store/scope/audit'
import { ALL_RIGHTS, makeTestKey } from '@/tests/setup/apiKey'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { addDueSamples } from './dueProgramme'
import { type RawAnswer, rawRequest } from './rawRequest'

const TOKEN = 'a-token-of-the-tests-that-is-long-enough'
const SECRET = 'a secret of the tests, that is long enough'
const HOST = 'desk.example'
/** Wrong secrets a minute that are answered as such, for one client and for one key id, over all servers. */
const GUESSES = 60

let database: TestDatabase
/** Two servers of one database, behind a proxy that names the client: the tests. */
let servers: TestServer[]
let key: string
let calendar: string
let signer: { id: string; hmacKey: Buffer }
let person: { id: string; email: string }
beforeAll(async () => {
  database = await makeTestDatabase()
  await addDueSamples(database, Date.now())
  const variables = {
    HOLDFAST_URL: `http://${HOST}`,
    HOLDFAST_METRICS_TOKEN: TOKEN,
    HOLDFAST_SECRET: SECRET,
  }
  servers = [await startTestServer(database.url, variables), await startTestServer(database.url, variables)]
  key = await makeTestKey(database)
  signer = await makeSigner()
  const email = 'owner@test.invalid'
  const owner = { email, name: 'Owner', roles: [{ role: 'administrator' as const, place: '' }] }
  person = { id: await ensurePerson(database.authPool, owner, COMMAND, Date.now()), email }
  calendar = await makeCalendar()
})
beforeEach(async () => {
  await database.authPool.query('delete from sign_in_request')
})

async function makeSigner() {
  const secret = await makeTestKey(database, { ...ALL_RIGHTS, name: 'signer', mustSign: true })
  const hmacKey = createHash('sha256').update(secret).digest()
  const { rows } = await database.owner.query<{ id: string }>("select id from api_key where name = 'signer'")
  return { id: rows[0]?.id ?? '', hmacKey }
}

async function makeCalendar(): Promise<string> {
  const secret = randomBytes(32).toString('base64url')
  const feed = { id: 'feed', plant: 'PL1', hash: hashSecret(secret), personId: person.id }
  await insertFeed(database.authPool, feed, COMMAND, Date.now())
  return `/api/calendar/${secret}`
}

let turn = 0
/** The servers take turns, as behind a proxy. */
function nextServer(): TestServer {
  turn += 1
  return servers[turn % servers.length] as TestServer
}

const ask = (client: string, path: string, headers: Record<string, string> = {}) =>
  rawRequest(nextServer().address, path, { host: HOST, 'x-forwarded-for': client, ...headers })

function send(client: string, path: string, type: string, body: string, headers: Record<string, string>) {
  const sent = { host: HOST, 'x-forwarded-for': client, 'content-type': type, ...headers }
  const all = { ...sent, 'content-length': String(body.length) }
  return rawRequest(nextServer().address, path, all, 'POST', body)
}

function submit(client: string, path: string, fields: Record<string, string>, cookie = '') {
  const body = new URLSearchParams(fields).toString()
  const headers = { origin: `http://${HOST}`, cookie }
  return send(client, path, 'application/x-www-form-urlencoded', body, headers)
}

const EVENTS = '/api/events'
const NO_EVENTS = '[]'
const withKey = (client: string, secret: string) =>
  send(client, EVENTS, 'application/json', NO_EVENTS, { authorization: `Bearer ${secret}` })
const withToken = (client: string, token: string) =>
  ask(client, '/api/metrics', { authorization: `Bearer ${token}` })
const withLink = (client: string, token: string) => submit(client, '/api/sign-in/link', { token })
const withCalendar = (client: string, path: string) => ask(client, path)

let signed = 0
async function withSignature(client: string, { id, hmacKey }: typeof signer): Promise<RawAnswer> {
  const digest = createHash('sha256').update(NO_EVENTS).digest('base64')
  // No two are alike: each is valid once.
  signed += 1
  const path = `${EVENTS}?number=${signed}`
  const message = {
    method: 'POST',
    url: `http://${HOST}${path}`,
    headers: { 'content-digest': `sha-256=:${digest}:` },
  }
  const { headers } = await httpbis.signMessage(
    {
      fields: ['@method', '@path', '@query', 'content-digest'],
      params: ['created', 'keyid', 'alg'],
      paramValues: { created: new Date(), keyid: id, alg: 'hmac-sha256' },
      key: { sign: async (base: Buffer) => createHmac('sha256', hmacKey).update(base).digest() },
    },
    message,
  )
  return send(client, path, 'application/json', NO_EVENTS, headers as Record<string, string>)
}

/** Asks with `GUESSES` wrong secrets, half of them on each server, and expects each to be answered as one. */
async function useUp(status: number, guess: (n: number) => Promise<RawAnswer>): Promise<void> {
  for (let n = 1; n <= GUESSES; n++) expect([n, (await guess(n)).status]).toEqual([n, status])
}

/** Asks each server once. */
const onBoth = async (request: () => Promise<RawAnswer>) =>
  [await request(), await request()].map(({ status }) => status)

describe('wrong secrets of one address are limited over all servers, and what is right is served behind it', () => {
  test('keys', async () => {
    const client = '198.51.100.1'
    await useUp(401, (n) => withKey(client, `hfk_wrong${n}`))
    expect(await onBoth(() => withKey(client, 'hfk_wrong'))).toEqual([429, 429])
    const refused = await withKey(client, 'hfk_wrong')
    expect(refused.headers['content-type']).toBe('application/problem+json')
    expect(Number(refused.headers['retry-after'])).toBeGreaterThan(0)
    expect(Number(refused.headers['retry-after'])).toBeLessThanOrEqual(60)
    expect(await onBoth(() => withKey(client, key))).toEqual([200, 200])
    expect(await onBoth(() => withSignature(client, signer))).toEqual([200, 200])
    expect(await onBoth(() => withCalendar(client, calendar))).toEqual([200, 200])
    expect(await onBoth(() => withToken(client, TOKEN))).toEqual([200, 200])
    expect((await withKey('198.51.100.2', 'hfk_wrong')).status).toBe(401)
  })

  test('addresses of calendars', async () => {
    const client = '198.51.100.3'
    await useUp(404, (n) => withCalendar(client, `/api/calendar/guess-${n}`))
    expect(await onBoth(() => withCalendar(client, '/api/calendar/guess'))).toEqual([429, 429])
    expect(await onBoth(() => withCalendar(client, calendar))).toEqual([200, 200])
  })

  test('tokens for the metrics', async () => {
    const client = '198.51.100.4'
    await useUp(401, (n) => withToken(client, `wrong ${n}`))
    expect(await onBoth(() => withToken(client, 'wrong'))).toEqual([429, 429])
    expect(await onBoth(() => withToken(client, TOKEN))).toEqual([200, 200])
  })

  test('links', async () => {
    const client = '198.51.100.5'
    await useUp(303, (n) => withLink(client, `wrong-${n}`.padEnd(43, 'x')))
    const refused = await withLink(client, 'x'.repeat(43))
    expect(refused.status).toBe(429)
    expect(Number(refused.headers['retry-after'])).toBeGreaterThan(0)
    expect(refused.headers['content-type']).toContain('text/html')
    expect((await withLink(client, 'x'.repeat(43))).status).toBe(429)
    const { token } = await makeRequest()
    const admitted = await withLink(client, token)
    expect([admitted.status, admitted.headers.location]).toEqual([303, '/'])
    expect(String(admitted.headers['set-cookie'])).toContain('session_token')
  })
})

test('wrong signatures with the id of one key are limited wherever they come from, and right ones are served', async () => {
  const wrong = { ...signer, hmacKey: Buffer.alloc(32) }
  await useUp(401, (n) => withSignature(`203.0.113.${n}`, wrong))
  expect(await onBoth(() => withSignature('203.0.113.101', wrong))).toEqual([429, 429])
  expect((await withSignature('203.0.113.102', { ...wrong, id: 'another' })).status).toBe(401)
  expect(await onBoth(() => withSignature('203.0.113.101', signer))).toEqual([200, 200])
})

test('wrong signatures with an id that no key has get the same answers', async () => {
  const unknown = { id: 'no-such-key', hmacKey: Buffer.alloc(32) }
  await useUp(401, (n) => withSignature(`192.0.2.${n}`, unknown))
  expect(await onBoth(() => withSignature('192.0.2.101', unknown))).toEqual([429, 429])
})

test('a code has its tries once, not on each server', async () => {
  const client = '198.51.100.6'
  const { id, code } = await makeRequest()
  const wrong = code === '00000000' ? '11111111' : '00000000'
  const attempt = async (typed: string) =>
    (await submit(client, '/api/sign-in/code', { code: typed }, `holdfast.asked=${id}`)).headers.location
  for (let left = CODE_TRIES - 1; left >= 0; left--)
    expect(await attempt(wrong)).toBe(`/sign-in/code?left=${left}`)
  expect([await attempt(code), await attempt(code)]).toEqual(Array(2).fill('/sign-in/code?left=0'))
})

test('a right key, calendar or token is read without being counted in the database', async () => {
  const written = async () => {
    const { rows } = await database.owner.query(
      `select (select last_used_at from api_key where hash = $1) as used, (select last_read_at from calendar_feed) as read,
         (select sum(points)::int from guess_count) as counted`,
      [createHash('sha256').update(key).digest()],
    )
    return rows
  }
  const askAll = async () => [
    await onBoth(() => withKey('198.51.100.7', key)),
    await onBoth(() => withCalendar('198.51.100.7', calendar)),
    await onBoth(() => withToken('198.51.100.7', TOKEN)),
  ]
  await askAll()
  const before = await written()
  expect(await askAll()).toEqual(Array(3).fill([200, 200]))
  expect(await written()).toEqual(before)
})

async function makeRequest() {
  const request = { email: person.email, source: 'test', wanted: null }
  const made = await requestLink({ authPool: database.authPool, secret: SECRET }, request, Date.now())
  if ('waitSeconds' in made || made.code === null) throw new Error('It has to wait.')
  return { ...made, code: made.code }
}
