import { connect } from 'node:net'
import { beforeAll, expect, test, vi } from 'vitest'
import { makeTestKey } from '@/tests/setup/apiKey'
import { makeTestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'

/** The limit of requests a minute; that of items is 500 times as many. */
const REQUESTS = 100

let server: TestServer
let keys: string[]
beforeAll(async () => {
  const database = await makeTestDatabase()
  server = await startTestServer(database.url, { HOLDFAST_REQUESTS_A_MINUTE: String(REQUESTS) })
  keys = await Promise.all([1, 2, 3].map(() => makeTestKey(database)))
})

function send(key: string | undefined, body: string) {
  const headers = { authorization: `Bearer ${key}`, 'content-type': 'application/json' }
  return fetch(`${server.address}/api/events`, { method: 'POST', headers, body })
}

/** Sends the greater part of a bulk body, and leaves it so. */
function beginBody(key: string | undefined) {
  const socket = connect(Number(new URL(server.address).port), '127.0.0.1')
  const head = `POST /api/events HTTP/1.1\r\nhost: localhost\r\nauthorization: Bearer ${key}\r\ncontent-type: application/json\r\ncontent-length: 500000\r\n\r\n`
  let answer = ''
  socket.on('data', (chunk) => {
    answer += chunk
  })
  socket.on('error', (error) => {
    answer += error.message
  })
  socket.write(head + ' '.repeat(400_000))
  return { getAnswer: () => answer, end: () => socket.destroy() }
}

const zeros = (count: number) => `[${'0,'.repeat(count - 1)}0]`

test('a principal sends one bulk body at a time, and others theirs meanwhile', async () => {
  // Large, but without items, so that trying again uses up no budget.
  const bulk = `[${' '.repeat(300_000)}]`
  const tries = { timeout: 60_000, interval: 3_000 }
  let begun = beginBody(keys[0])
  try {
    const second = await vi.waitFor(async () => {
      // Whichever of the two comes first is taken: this one may have been refused.
      if (begun.getAnswer() !== '') begun = beginBody(keys[0])
      expect((await send(keys[0], '[]')).status).toBe(200)
      const response = await send(keys[0], bulk)
      const body = await response.json()
      expect({ ...body, begunGot: begun.getAnswer() }).toMatchObject({
        type: 'urn:holdfast:problem:bulk-busy',
        status: 429,
        begunGot: '',
      })
      return response
    }, tries)
    expect(Number(second.headers.get('retry-after'))).toBeGreaterThan(0)
    expect((await send(keys[1], bulk)).status).toBe(200)
  } finally {
    begun.end()
  }
  await vi.waitFor(async () => expect((await send(keys[0], bulk)).status).toBe(200), tries)
})

test('a principal has a budget of items a minute, and is told how long to wait', async () => {
  let sent = 0
  let answer = await send(keys[1], zeros(20_000))
  while (answer.status !== 429 && sent < 10) {
    sent += 1
    answer = await send(keys[1], zeros(20_000))
  }
  expect(answer.status).toBe(429)
  expect(sent * 20_000).toBeLessThanOrEqual(REQUESTS * 500 + 20_000)
  const wait = Number(answer.headers.get('retry-after'))
  expect(wait).toBeGreaterThan(0)
  expect(wait).toBeLessThanOrEqual(60)
  expect((await answer.json()).detail).toContain('budget')
})

test('many bodies at once go hardly further beyond the budget than one after another', async () => {
  const answers = await Promise.all(Array.from({ length: 30 }, () => send(keys[2], zeros(20_000))))
  const statuses = answers.map(({ status }) => status)
  expect(new Set(statuses)).toEqual(new Set([422, 429]))
  const read = statuses.filter((status) => status === 422).length
  // What the four that run at a time bring.
  expect(read * 20_000).toBeLessThanOrEqual(REQUESTS * 500 + 4 * 20_000)
})
