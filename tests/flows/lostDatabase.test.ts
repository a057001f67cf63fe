import { connect, createServer, type Socket } from 'node:net'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { makeTestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'

/** A proxy between the server and its database that can cut the connection. */
const open = new Set<Socket>()
let isCut = false
let target: { host: string; port: number }
const between = createServer((socket) => {
  if (isCut) {
    socket.destroy()
    return
  }
  const beyond = connect(target)
  for (const one of [socket, beyond]) {
    open.add(one)
    one.on('error', () => {})
    one.on('close', () => {
      open.delete(one)
      socket.destroy()
      beyond.destroy()
    })
  }
  socket.pipe(beyond).pipe(socket)
})

let server: TestServer
let administrator: SignedIn
beforeAll(async () => {
  const database = await makeTestDatabase()
  const url = new URL(database.url)
  target = { host: url.hostname, port: Number(url.port) }
  await new Promise<void>((resolve) => between.listen(0, '127.0.0.1', resolve))
  url.hostname = '127.0.0.1'
  url.port = String((between.address() as { port: number }).port)
  administrator = await signInAs(database, ADMINISTRATOR)
  server = await startTestServer(url.href)
})
afterAll(() => {
  for (const one of open) one.destroy()
  between.close()
})

const ROUTES: [string, Record<string, string>][] = [
  ['/api/sign-in', { email: 'someone@test.invalid' }],
  ['/api/sign-in/link', { token: 'a'.repeat(43) }],
  ['/api/sign-in/code', { code: '1234 5678' }],
  ['/api/sign-in/role', { role: 'reader' }],
  ['/api/sign-out', {}],
  ['/api/me/sessions', { id: 'none' }],
  ['/api/me/passkeys', { id: 'none' }],
  ['/api/passkey/enrol-begin', {}],
  ['/api/record', {}],
  ['/api/setup/entries', {}],
]

test('a database that is lost gives a problem with what to do, and comes back without a restart', async () => {
  const ask = (path: string, fields: Record<string, string>) =>
    fetch(server.address + path, {
      method: path.startsWith('/api/passkey') ? 'GET' : 'POST',
      redirect: 'manual',
      headers: { cookie: administrator.cookie, origin: server.address },
      ...(path.startsWith('/api/passkey') ? {} : { body: new URLSearchParams(fields) }),
    })
  const board = () => fetch(`${server.address}/api/board`, { headers: administrator.headers })
  expect((await board()).status).toBe(200)
  isCut = true
  for (const one of open) one.destroy()
  const said: unknown[] = []
  for (const [path, fields] of ROUTES) {
    const answer = await ask(path, fields)
    const text = await answer.text()
    said.push([path, answer.status, answer.headers.get('content-type'), /does not answer/.test(text)])
  }
  expect(said).toEqual(ROUTES.map(([path]) => [path, 503, 'application/problem+json', true]))
  // Nobody is told that a secret is wrong while it cannot be looked up and counted.
  const guess = { authorization: 'Bearer hfk_wrong' }
  for (const path of ['/api/metrics', `/api/calendar/${'a'.repeat(43)}`, '/api/board'])
    expect([path, (await fetch(server.address + path, { headers: guess })).status]).toEqual([path, 503])
  isCut = false
  expect((await board()).status).toBe(200)
})
