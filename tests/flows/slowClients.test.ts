import { spawn } from 'node:child_process'
import { connect, type Socket } from 'node:net'
import { afterEach, beforeAll, describe, expect, test, vi } from 'vitest'
import { ensureBuild } from '@/lib/commands/build'
import { findFreePort } from '@/lib/store/engine/freePort'
import { buildChildEnvironment } from '@/lib/store/environment'
import { makeTestKey } from '@/tests/setup/apiKey'
import { makeTestDatabase } from '@/tests/setup/database'
import { atEndOfFile } from '@/tests/setup/endOfFile'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'

/** Fewer than the sockets of the tests; the program itself needs about a hundred. */
const FILE_HANDLES = 400
const SOCKETS = 450

let port: number
let reader: SignedIn
let secret: string
beforeAll(async () => {
  const database = await makeTestDatabase()
  reader = await signInAs(database, ADMINISTRATOR)
  secret = await makeTestKey(database)
  await ensureBuild()
  port = await findFreePort()
  // In a shell, which lowers the limit of itself and of what it becomes.
  const child = spawn(
    'bash',
    ['-c', `ulimit -n ${FILE_HANDLES}; exec "$0" lib/commands/serve.mjs ${port}`, process.execPath],
    {
      env: buildChildEnvironment({ DATABASE_URL: database.url, NODE_ENV: 'production' }),
      stdio: 'ignore',
    },
  )
  const ended = new Promise((resolve) => child.once('close', resolve))
  atEndOfFile(async () => {
    child.kill('SIGTERM')
    await ended
  })
  const health = () =>
    fetch(`http://localhost:${port}/api/health`).then(
      ({ status }) => status,
      () => 0,
    )
  await vi.waitFor(async () => expect(await health()).toBe(200), { timeout: 60_000, interval: 100 })
  expect((await readBoard()).status).toBe(200)
})

const readBoard = () =>
  fetch(`http://localhost:${port}/api/board`, {
    headers: reader.headers,
    signal: AbortSignal.timeout(60_000),
  })

const sockets = new Set<Socket>()
afterEach(() => {
  for (const one of sockets) one.destroy()
  sockets.clear()
})

/** Opens a connection from an address of this machine that is not the reader's, and sends `first` and then a byte each 50 ms. */
function openSlow(first: string, trickle: boolean, localAddress = '127.0.0.2'): { answer: () => string } {
  const socket = connect({ host: '127.0.0.1', port, localAddress })
  let text = ''
  sockets.add(socket)
  socket.setEncoding('utf8').on('data', (part) => {
    text += part
  })
  socket.on('error', () => {})
  socket.on('close', () => sockets.delete(socket))
  socket.write(first)
  const timer = setInterval(() => (trickle && socket.writable ? socket.write('a') : undefined), 50)
  socket.on('close', () => clearInterval(timer))
  return { answer: () => text }
}

const post = (more: string[]) =>
  ['POST /api/events HTTP/1.1', 'Host: localhost', 'Content-Type: application/json', ...more, '', ''].join(
    '\r\n',
  )

describe('450 clients at once, more than the server has file handles', () => {
  test('with unsigned bodies that trickle are refused and cut off, and a board is read meanwhile', async () => {
    const answers = Array.from({ length: SOCKETS }, () => openSlow(post(['Content-Length: 1000000']), true))
    for (let count = 0; count < 5; count++) expect((await readBoard()).status).toBe(200)
    await expect.poll(() => sockets.size, { timeout: 30_000 }).toBe(0)
    // Those above the cap of one address were cut off without an answer.
    const statuses = answers.map(({ answer }) => answer().slice(0, 12))
    expect(['', 'HTTP/1.1 401']).toEqual(expect.arrayContaining([...new Set(statuses)]))
    expect(statuses.filter((one) => one !== '').length).toBeGreaterThan(50)
  })

  test('that never finish their headers are cut off, and a board is read meanwhile', async () => {
    for (let count = 0; count < SOCKETS; count++) openSlow('GET / HTTP/1.1\r\nHost: loc', false)
    for (let count = 0; count < 5; count++) expect((await readBoard()).status).toBe(200)
    await expect.poll(() => sockets.size, { timeout: 40_000 }).toBe(0)
  })
})

test('a body with a key that stalls is answered with 408 and cut off', async () => {
  const { answer } = openSlow(
    `${post([`Authorization: Bearer ${secret}`, 'Content-Length: 1000'])}[{"source"`,
    false,
  )
  await expect.poll(answer, { timeout: 60_000 }).toMatch(/^HTTP\/1\.1 408 /)
  await expect.poll(() => sockets.size, { timeout: 10_000 }).toBe(0)
})

test('an offer to change the protocol is ignored: the request is answered, and no connection stays', async () => {
  const offers = ['websocket', 'h2c'].flatMap((protocol) =>
    ['/api/health', '/no/such/page'].map((path) =>
      openSlow(
        `GET ${path} HTTP/1.1\r\nHost: localhost\r\nConnection: Upgrade, close\r\nUpgrade: ${protocol}\r\n\r\n`,
        false,
      ),
    ),
  )
  const statuses = () => offers.map(({ answer }) => answer().slice(0, 12))
  await expect
    .poll(statuses, { timeout: 20_000 })
    .toEqual(['HTTP/1.1 200', 'HTTP/1.1 404', 'HTTP/1.1 200', 'HTTP/1.1 404'])
  await expect.poll(() => sockets.size, { timeout: 30_000 }).toBe(0)
})
