import { connect } from 'node:net'
import { beforeAll, describe, expect, test } from 'vitest'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { rawRequest } from './rawRequest'

const LIMIT = 6
let server: TestServer
let database: TestDatabase
let [one, other]: SignedIn[] = []
beforeAll(async () => {
  database = await makeTestDatabase()
  one = await signInAs(database, ADMINISTRATOR)
  other = await signInAs(database, ADMINISTRATOR)
  server = await startTestServer(database.url, { HOLDFAST_REQUESTS_A_MINUTE: String(LIMIT) })
  // Next registers what counts pages with its first request.
  expect((await fetch(`${server.address}/api/health`)).status).toBe(200)
})

async function openMany(path: string, headers: Record<string, string>) {
  const answers: Response[] = []
  for (let count = 0; count <= LIMIT; count++)
    answers.push(await fetch(server.address + path, { headers, redirect: 'manual' }))
  return answers
}

test('one person may open so many pages in a minute; then they are told to wait, and others are not', async () => {
  const answers = await openMany('/setup', one?.headers ?? {})
  expect(answers.map(({ status }) => status)).toEqual([...Array.from({ length: LIMIT }, () => 200), 429])
  const last = answers.at(-1) as Response
  expect(Number(last.headers.get('retry-after'))).toBeGreaterThan(0)
  expect(last.headers.get('content-type')).toContain('text/html')
  expect(await last.text()).toMatch(/Too many pages in one minute.*Wait \d+ s, then try again/s)
  // Data counts with pages.
  expect((await fetch(`${server.address}/api/board`, { headers: one?.headers })).status).toBe(429)
  expect((await fetch(`${server.address}/setup`, { headers: other?.headers })).status).toBe(200)
  const inPseudo = await fetch(`${server.address}/due`, {
    headers: { ...one?.headers, 'accept-language': 'en-XA' },
  })
  expect([inPseudo.status, /lang="en-XA"/.test(await inPseudo.text())]).toEqual([429, true])
})

test('an address without a session has the same limit, for pages that exist and others; files have none', async () => {
  const answers = [...(await openMany('/setup', {})), await fetch(`${server.address}/no/such/page`)]
  expect(answers.map(({ status }) => status)).toEqual([...Array.from({ length: LIMIT }, () => 307), 429, 429])
  // A part of a page, as scripts ask for it.
  expect((await fetch(`${server.address}/setup`, { headers: { rsc: '1' } })).status).toBe(429)
  for (const path of ['/icon.svg', '/favicon.ico', '/plain.css'])
    expect([path, (await fetch(server.address + path)).status]).toEqual([path, 200])
  expect((await fetch(`${server.address}/setup`, { headers: other?.headers })).status).toBe(200)
})

test('beyond the limit of an address one still signs in there, but asks for no mail', async () => {
  await openMany('/setup', {})
  const send = (path: string, fields: Record<string, string>) =>
    fetch(`${server.address}/api/${path}`, {
      method: 'POST',
      redirect: 'manual',
      headers: { origin: server.address },
      body: new URLSearchParams(fields),
    })
  const asked = await send('sign-in', { email: 'someone@test.invalid' })
  expect(asked.status).toBe(429)
  expect(Number(asked.headers.get('retry-after'))).toBeGreaterThan(0)
  expect(await asked.text()).toMatch(/Wait \d+ s, then try again/)
  const pages = [
    '/sign-in',
    '/sign-in?to=%2Fdue',
    '/sign-in/code?left=4',
    `/sign-in/link?token=${'x'.repeat(43)}`,
  ]
  for (const path of [...pages, ...pages])
    expect([path, (await fetch(server.address + path)).status]).toEqual([path, 200])
  expect((await fetch(`${server.address}/sign-in/none`)).status).toBe(429)
  const others = [
    await send('sign-in/link', { token: 'x'.repeat(43) }),
    await send('sign-in/code', { code: '1234 5678' }),
    await beginPasskey(),
    await send('passkey/use-end', {}),
  ]
  expect(others.map(({ status }) => status)).not.toContain(429)
})

const beginPasskey = () =>
  fetch(`${server.address}/api/passkey/use-begin`, { headers: { 'sec-fetch-site': 'same-origin' } })

test('a passkey that is begun leaves a row until the next is begun after it is over', async () => {
  const readRows = async () => (await database.owner.query('select id from verification')).rows
  await database.owner.query('delete from verification')
  expect((await beginPasskey()).status).toBe(200)
  const [first] = await readRows()
  await beginPasskey()
  expect(await readRows()).toHaveLength(2)
  await database.owner.query("update verification set expires_at = now() - interval '1 s' where id = $1", [
    first.id,
  ])
  await beginPasskey()
  const rows = await readRows()
  expect([rows.length, rows.some(({ id }) => id === first.id)]).toEqual([2, false])
})

describe('a method that nothing supports is refused with those that are', () => {
  const ALLOW = 'GET, HEAD, POST, PUT, OPTIONS'
  test.each(['TRACE', 'DELETE', 'PROPFIND'])('%s', async (method) => {
    for (const path of ['/', '/api/board', '/icon.svg']) {
      const { status, headers } = await rawRequest(server.address, path, {}, method)
      expect([path, status, headers.allow]).toEqual([path, 405, ALLOW])
    }
  })

  test.each(['CONNECT there:443', 'NONSENSE /'])('%s', async (line) => {
    const answer = await new Promise<string>((resolve, reject) => {
      const socket = connect({ host: '127.0.0.1', port: Number(new URL(server.address).port) })
      let text = ''
      socket.setEncoding('utf8').on('data', (part) => {
        text += part
      })
      socket.on('error', reject).on('end', () => resolve(text))
      socket.write(`${line} HTTP/1.1\r\nHost: localhost\r\n\r\n`)
    })
    expect(answer).toMatch(/^HTTP\/1\.1 405 /)
    expect(answer).toContain(`Allow: ${ALLOW}`)
  })
})
