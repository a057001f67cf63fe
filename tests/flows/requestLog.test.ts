import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { beforeAll, expect, test, vi } from 'vitest'
import { makeTestKey } from '@/tests/setup/apiKey'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { atEndOfFile } from '@/tests/setup/endOfFile'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'

const folder = mkdtempSync(join(tmpdir(), 'holdfast-log-'))
const SECRET = 'Zk3vQ0a9Xy7bLmN2pR5sT8uW1cE4fG6hJ0kM3nP6qrs'
let database: TestDatabase
let server: TestServer
let administrator: SignedIn
let key: string

beforeAll(async () => {
  atEndOfFile(async () => rmSync(folder, { recursive: true, force: true }))
  database = await makeTestDatabase()
  administrator = await signInAs(database, ADMINISTRATOR)
  key = await makeTestKey(database, { sources: ['dock'], maySetRegister: false })
  server = await startTestServer(database.url, { HOLDFAST_LOG_DIR: folder })
})

const readLog = () =>
  readdirSync(folder)
    .map((name) => readFileSync(join(folder, name), 'utf8'))
    .join('')
const readLines = () =>
  readLog()
    .split(/(?<=\n)/)
    // A line may be half written.
    .filter((line) => line.endsWith('\n'))
    .map((line) => JSON.parse(line) as Record<string, unknown>)
/** The line of a request, once it is written. */
const findLine = async (response: Response) => {
  const id = response.headers.get('x-request-id')
  expect(id).toMatch(/^[\w-]{36}$/)
  return vi.waitUntil(() => readLines().find((line) => line.request === id && 'ms' in line), {
    timeout: 60_000,
  })
}

test('each request has a line with its id, principal, route, status and duration', async () => {
  const board = await fetch(`${server.address}/api/board`, { headers: administrator.headers })
  expect(await findLine(board)).toMatchObject({
    level: 'info',
    process: 'web',
    principal: `person ${administrator.personId}`,
    method: 'GET',
    route: '/api/board',
    status: 200,
    ms: expect.any(Number),
  })
  const refused = await fetch(`${server.address}/api/board`)
  expect(await findLine(refused)).toMatchObject({ principal: null, status: 401 })
  const page = await fetch(`${server.address}/samples/7KQ2M94Y`, { headers: administrator.headers })
  expect(await findLine(page)).toMatchObject({ route: '/samples/[code]', status: 404 })
  const events = await fetch(`${server.address}/api/events`, {
    method: 'POST',
    headers: { authorization: `Bearer ${key}`, 'content-type': 'application/json' },
    body: '[]',
  })
  expect((await findLine(events))?.principal).toMatch(/^key /)
})

test('an id that a client sends is not believed without a proxy', async () => {
  const answer = await fetch(`${server.address}/api/health`, {
    headers: { 'x-request-id': 'sent-by-a-client' },
  })
  expect(answer.headers.get('x-request-id')).not.toBe('sent-by-a-client')
})

test('what is refused before any page has a line too', async () => {
  const answer = await fetch(`${server.address}/a%00b?token=${SECRET}`)
  expect(answer.status).toBe(400)
  expect(await findLine(answer)).toMatchObject({ route: 'other', status: 400 })
})

test('the name that our proxy gives a request is kept, if it is short and safe', async () => {
  const behind = await startTestServer(database.url, { HOLDFAST_URL: 'https://holdfast.example' })
  const name = async (sent: string) =>
    (await fetch(`${behind.address}/api/health`, { headers: { 'x-request-id': sent } })).headers.get(
      'x-request-id',
    )
  expect(await name('proxy-7f3a9c21')).toBe('proxy-7f3a9c21')
  for (const unsafe of ['short', 'x'.repeat(65), '{"level":"error"}', 'a b c d e f g'])
    expect(await name(unsafe)).toMatch(/^[\w-]{36}$/)
})

test('the log tells no secret, no cookie, no code of a sample, no name and no address of mail', async () => {
  const before = readLines().length
  const asks: [string, RequestInit][] = [
    [`/api/calendar/${SECRET}`, {}],
    [`/sign-in/link?token=${SECRET}`, {}],
    [`/api/digest/stop?token=${SECRET}`, {}],
    [`/api/nowhere/${SECRET}?code=${SECRET}`, {}],
    ['/api/board', { headers: { authorization: `Bearer hfk_${SECRET}` } }],
    ['/api/board', { headers: { cookie: `better-auth.session_token=${SECRET}` } }],
    ['/api/sign-in/link', { method: 'POST', body: new URLSearchParams({ token: SECRET }) }],
    ['/api/sign-in', { method: 'POST', body: new URLSearchParams({ email: administrator.email }) }],
    ['/samples/7KQ2M94Y', { headers: administrator.headers }],
  ]
  const headers = { origin: server.address, 'sec-fetch-site': 'same-origin' }
  for (const [path, init] of asks) {
    const answer = await fetch(server.address + path, {
      redirect: 'manual',
      ...init,
      headers: { ...headers, ...init.headers },
    })
    await answer.text()
    await findLine(answer)
  }
  expect(readLines().length).toBeGreaterThanOrEqual(before + asks.length)
  const [cookie = ''] = administrator.cookie.split('=').slice(1)
  for (const secret of [SECRET, cookie, key, administrator.email, 'A person of the tests', '7KQ2M94Y'])
    expect(readLog()).not.toContain(secret)
})

test('an answer of 500 names the request, and the log has the error under that name', async () => {
  // The table is gone, which nothing of ours expects.
  await database.owner.query('alter table setup_draft rename to setup_draft_gone')
  const form = new FormData()
  form.set('list', 'plants')
  form.set('text', 'code,name,zone,maker\nPL3,A third plant,Europe/Lisbon,\n')
  const answer = await fetch(`${server.address}/api/setup/csv`, {
    method: 'POST',
    body: form,
    headers: administrator.headers,
  })
  await database.owner.query('alter table setup_draft_gone rename to setup_draft')
  expect(answer.status).toBe(500)
  const problem = (await answer.json()) as { requestId: string }
  expect(problem.requestId).toBe(answer.headers.get('x-request-id'))
  await findLine(answer)
  const lines = readLines().filter(({ request }) => request === problem.requestId)
  expect(lines).toHaveLength(2)
  expect(lines[0]).toMatchObject({ level: 'error', stack: expect.stringContaining('setup_draft') })
  expect(lines[1]).toMatchObject({ level: 'error', route: '/api/setup/csv', status: 500 })
})
