import { once } from 'node:events'
import { Agent, type IncomingMessage, request } from 'node:http'
import { expect, test } from 'vitest'
import { makeTestKey } from '@/tests/setup/apiKey'
import { makeTestDatabase } from '@/tests/setup/database'
import { startServer, startTestServer } from '@/tests/setup/server'

test('a server that stops ends a kept connection with the answer in hand, not in the middle of the next', async () => {
  const database = await makeTestDatabase()
  const authorization = `Bearer ${await makeTestKey(database)}`
  const server = await startServer(database.url)
  const agent = new Agent({ keepAlive: true })
  const asking = request(`${server.address.replace('localhost', '127.0.0.1')}/api/events`, {
    method: 'POST',
    agent,
    headers: {
      authorization,
      'content-type': 'application/json',
      'content-length': 2,
      expect: '100-continue',
    },
  })
  asking.flushHeaders()
  // Now the server has the headers and waits for the body.
  await once(asking, 'continue')
  const stopped = server.stop()
  const isRefused = () =>
    fetch(`${server.address}/api/health`).then(
      () => false,
      () => true,
    )
  await expect.poll(isRefused, { interval: 10 }).toBe(true)
  asking.end('[]')
  const [answer] = (await once(asking, 'response')) as [IncomingMessage]
  expect([answer.statusCode, answer.headers.connection]).toEqual([200, 'close'])
  answer.resume()
  await stopped
  agent.destroy()
})

test('an unused connection is kept for longer than a proxy keeps it, so that no request meets its end', async () => {
  const { address } = await startTestServer((await makeTestDatabase()).url)
  const { headers } = await fetch(`${address}/api/health`)
  // Caddy, which public/help/Caddyfile configures, closes its side after 2 min ("keepalive" of reverse_proxy's http
  // transport, https://caddyserver.com/docs/caddyfile/directives/reverse_proxy).
  expect(Number(/timeout=(\d+)/.exec(headers.get('keep-alive') ?? '')?.[1])).toBeGreaterThan(120)
})
