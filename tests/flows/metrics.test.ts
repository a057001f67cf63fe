import { beforeAll, expect, test } from 'vitest'
import { ROUTES } from '@/lib/policy/routes'
import { makeTestKey } from '@/tests/setup/apiKey'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { type Family, parseOpenMetrics } from '../telemetry/parseOpenMetrics'

const TOKEN = 'a-token-of-the-tests-that-is-long-enough'
let database: TestDatabase
let server: TestServer
let administrator: SignedIn
let key: string
beforeAll(async () => {
  database = await makeTestDatabase()
  administrator = await signInAs(database, ADMINISTRATOR)
  key = await makeTestKey(database, { sources: ['dock'], maySetRegister: false })
  server = await startTestServer(database.url, { HOLDFAST_METRICS_TOKEN: TOKEN })
})

const ask = (headers: Record<string, string>) => fetch(`${server.address}/api/metrics`, { headers })
const scrape = async (): Promise<Map<string, Family>> =>
  parseOpenMetrics(await (await ask({ authorization: `Bearer ${TOKEN}` })).text())

test('administrators and the token may read the metrics, and nobody else', async () => {
  const { headers } = await signInAs(database, { isReader: true })
  const statuses = await Promise.all(
    [
      administrator.headers,
      { authorization: `Bearer ${TOKEN}` },
      {},
      headers,
      { authorization: `Bearer ${key}` },
      { authorization: `Bearer ${TOKEN}x` },
      { authorization: 'Bearer ' },
      { authorization: TOKEN },
    ].map(async (sent) => (await ask(sent as Record<string, string>)).status),
  )
  expect(statuses).toEqual([200, 200, 401, 403, 403, 401, 401, 401])
  const answer = await ask({ authorization: `Bearer ${TOKEN}` })
  expect(answer.headers.get('content-type')).toBe(
    'application/openmetrics-text; version=1.0.0; charset=utf-8',
  )
  expect(answer.headers.get('cache-control')).toBe('no-store')
})

test('they say what was asked and taken in, and what the server is like', async () => {
  const event = { source: 'dock', id: '1', sample: '7KQ2M94Y', kind: 'collected', at: '2026-10-30T10:00:00Z' }
  const sent = await fetch(`${server.address}/api/events`, {
    method: 'POST',
    headers: { authorization: `Bearer ${key}`, 'content-type': 'application/json' },
    body: JSON.stringify([event, event, { ...event, id: '2', kind: 'no such kind' }]),
  })
  const { items } = (await sent.json()) as { items: { result: string }[] }
  const families = await scrape()
  const intake: Record<string, number> = Object.fromEntries(
    (families.get('holdfast_intake_items')?.samples ?? []).map(({ labels, value }) => [labels.result, value]),
  )
  for (const { result } of items) expect(intake[result]).toBeGreaterThan(0)
  expect(Object.values(intake).reduce((sum, count) => sum + count, 0)).toBe(3)
  const names = [
    ...['holdfast_request_duration_seconds', 'holdfast_ready', 'holdfast_check', 'holdfast_mails'],
    ...['holdfast_mail_queue_depth', 'holdfast_writers_waiting', 'holdfast_writers_admitted'],
    ...['holdfast_writer_wait_seconds', 'holdfast_pool_open', 'holdfast_pool_waiting'],
    ...['holdfast_disk_free_bytes', 'nodejs_eventloop_lag_seconds', 'nodejs_heap_size_used_bytes'],
  ]
  expect(names.filter((name) => !families.get(name)?.samples.length)).toEqual([])
  // There was no backup yet, so nothing is claimed of its age.
  expect(families.has('holdfast_backup_age_seconds')).toBe(false)
})

test('no label tells a code, a secret, a name or an address', async () => {
  const paths = [
    '/samples/7KQ2M94Y',
    '/api/calendar/a-secret-of-a-feed',
    '/plants/PL1',
    '/nowhere/a@b.example',
  ]
  for (const path of paths)
    await (await fetch(server.address + path, { headers: administrator.headers })).text()
  const routes = new Set(Object.keys(ROUTES).map((name) => name.split(' ')[1]))
  const families = await scrape()
  const requests = families.get('holdfast_request_duration_seconds')?.samples ?? []
  for (const { labels } of requests) {
    expect([...routes, 'static', 'other']).toContain(labels.route)
    expect(labels.status).toMatch(/^([1-5]xx|cut)$/)
  }
  const all = JSON.stringify([...families])
  for (const word of ['7KQ2M94Y', 'a-secret-of-a-feed', 'PL1', 'b.example', administrator.email, 'dock'])
    expect(all).not.toContain(word)
})
