import { beforeAll, expect, test } from 'vitest'
import { makeTestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { rawRequest } from './rawRequest'

const TOKEN = 'a-token-of-the-tests-that-is-long-enough'
/** Refused keys of a client a minute, after which it has to wait. */
const REFUSALS = 60

let server: TestServer
beforeAll(async () => {
  const database = await makeTestDatabase()
  // The tests are the proxy in front of the site, which names the client.
  server = await startTestServer(database.url, {
    HOLDFAST_URL: 'http://desk.example',
    HOLDFAST_METRICS_TOKEN: TOKEN,
  })
})

async function ask(address: string, token: string, path = '/api/board'): Promise<number> {
  const headers = { host: 'desk.example', authorization: `Bearer ${token}`, 'x-forwarded-for': address }
  return (await rawRequest(server.address, path, headers)).status
}

/** Has `REFUSALS` keys refused, each from an address of its own. */
async function useUp(toAddress: (n: number) => string, path?: string): Promise<void> {
  for (let n = 1; n <= REFUSALS; n++) expect(await ask(toAddress(n), `wrong ${n}`, path)).toBe(401)
}

test('refused keys are counted for the /64 network of an IPv6 address, and for no other', async () => {
  await useUp((n) => `2001:db8:1:2:${n.toString(16)}::${n.toString(16)}`)
  expect(await ask('2001:db8:1:2:ffff::1', 'wrong')).toBe(429)
  expect(await ask('2001:db8:1:3::1', 'wrong')).toBe(401)
})

test('an IPv4-mapped address is counted as its IPv4 address', async () => {
  await useUp((n) => (n % 2 === 0 ? '203.0.113.7' : '::FFFF:cb00:7107'))
  expect(await ask('203.0.113.7', 'wrong')).toBe(429)
  expect(await ask('::ffff:203.0.113.7', 'wrong')).toBe(429)
  expect(await ask('::ffff:203.0.113.8', 'wrong')).toBe(401)
})

test('who tried too many tokens for the metrics has to wait with a wrong one, and reads them with the right one', async () => {
  await useUp(() => '198.51.100.9', '/api/metrics')
  expect(await ask('198.51.100.9', 'wrong', '/api/metrics')).toBe(429)
  expect(await ask('198.51.100.9', TOKEN, '/api/metrics')).toBe(200)
  expect(await ask('198.51.100.10', TOKEN, '/api/metrics')).toBe(200)
})
