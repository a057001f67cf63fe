import { randomBytes, randomUUID } from 'node:crypto'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { beforeAll, expect, test, vi } from 'vitest'
import { type Engine, startEngine } from '@/lib/store/engine/engine'
import { dropDatabase, ensureDatabase } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { openOwnerPool } from '@/lib/store/scope/pool'
import { makeTestKey } from '@/tests/setup/apiKey'
import { browserTest } from '@/tests/setup/browser'
import { connect, type TestDatabase } from '@/tests/setup/database'
import { atEndOfFile } from '@/tests/setup/endOfFile'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { mountSmallDisk } from '@/tests/setup/smallDisk'

const disk = mountSmallDisk(400)
const folder = 'folder' in disk ? disk.folder : mkdtempSync(join(tmpdir(), 'holdfast-readiness-'))
let engine: Engine
let database: TestDatabase
let server: TestServer
let administrator: SignedIn
let key: string

beforeAll(async () => {
  if ('reason' in disk) atEndOfFile(async () => rmSync(folder, { recursive: true, force: true }))
  engine = await startEngine({ dataDir: join(folder, 'data'), isDurable: false })
  atEndOfFile(() => engine.stop())
  const url = engine.url('ready')
  await ensureDatabase(url)
  await migrate({ url })
  const connected = connect(url)
  database = connected
  atEndOfFile(connected.close)
  administrator = await signInAs(database, ADMINISTRATOR)
  key = await makeTestKey(database, { sources: ['dock'], maySetRegister: false })
  server = await startTestServer(url)
})

interface Answer {
  ready: boolean
  checks: { name: string; state: string; fault?: string; says: string }[]
}
const ask = async () => {
  const response = await fetch(`${server.address}/api/ready`)
  const { ready, checks } = (await response.json()) as Answer
  return { status: response.status, ready, database: checks.find(({ name }) => name === 'database'), checks }
}
/** Asks until the answer is as expected; the server keeps an answer for some seconds. */
const waitFor = (fault: string | undefined) =>
  vi.waitUntil(
    async () => {
      const answer = await ask()
      return answer.database?.fault === fault && answer.ready === (fault === undefined) && answer
    },
    { timeout: 60_000, interval: 250 },
  )
const health = async () => (await fetch(`${server.address}/api/health`)).status
/** Sends one event, or as many as need new room on the disk. */
const report = async (count = 1) => {
  const response = await fetch(`${server.address}/api/events`, {
    method: 'POST',
    headers: { authorization: `Bearer ${key}`, 'content-type': 'application/json' },
    body: JSON.stringify(
      Array.from({ length: count }, () => ({
        source: 'dock',
        id: randomUUID(),
        sample: '7KQ2M94Y',
        kind: 'collected',
        at: '2026-10-30T10:00:00Z',
        facts: { note: randomBytes(1_000).toString('hex') },
      })),
    ),
  })
  return { status: response.status, problem: (await response.json()) as Record<string, unknown> }
}
const board = () => fetch(`${server.address}/`, { headers: administrator.headers, redirect: 'manual' })

/** Has all sessions of the database begin anew, so that they take on a setting. */
async function endSessions() {
  const pool = openOwnerPool(engine.url('postgres'), { max: 1 })
  await pool.query(`select pg_terminate_backend(pid) from pg_stat_activity where datname = 'ready'`)
  await pool.end()
}
async function onMaintenance(sql: string) {
  const pool = openOwnerPool(engine.url('postgres'), { max: 1 })
  await pool.query(sql)
  await pool.end()
}

test('a server whose database answers and takes writes is ready, and anyone may know', async () => {
  const { status, checks } = await ask()
  expect([status, await health()]).toEqual([200, 200])
  expect(checks.map(({ name }) => name)).toEqual([
    'database',
    'migrations',
    'queue',
    'mail',
    'disk',
    'backup',
  ])
  expect(checks.slice(0, 2).map(({ state }) => state)).toEqual(['ok', 'ok'])
  const text = await (await fetch(`${server.address}/api/ready`)).text()
  for (const word of ['127.0.0.1', 'localhost', folder, String(engine.port), 'postgres'])
    expect(text).not.toContain(word)
})

test('a hundred who ask at once are answered from one look at the database', async () => {
  const count = async () => {
    const { rows } = await database.owner.query<{ calls: string }>(
      `select sum(xact_commit)::text as calls from pg_stat_database where datname = 'ready'`,
    )
    return Number(rows[0]?.calls)
  }
  await ask()
  const before = await count()
  const answers = await Promise.all(Array.from({ length: 100 }, ask))
  expect(answers.every(({ status }) => status === 200)).toBe(true)
  expect((await count()) - before).toBeLessThan(60)
})

test('a read-only database is 503 in its own words, and pages can still be read', async () => {
  await onMaintenance('alter database ready set default_transaction_read_only = on')
  await endSessions()
  const found = await waitFor('read-only')
  expect(found).toMatchObject({ status: 503, ready: false, database: { says: 'The database is read-only.' } })
  expect(await health()).toBe(200)
  const { status, problem } = await report()
  expect(status).toBe(503)
  expect(problem).toMatchObject({
    type: 'urn:holdfast:problem:database-read-only',
    requestId: expect.stringMatching(/^[\w-]{36}$/),
  })
  expect((await board()).status).toBe(200)
  await onMaintenance('alter database ready reset default_transaction_read_only')
  await endSessions()
  expect(await waitFor(undefined)).toMatchObject({ status: 200 })
  expect((await report()).status).toBeLessThan(500)
})

test('migrations of another version are 503', async () => {
  await database.owner.query(`update _prisma_migrations set migration_name = '9999_later'
    where migration_name like '0023%'`)
  const found = await vi.waitUntil(
    async () => {
      const now = await ask()
      return now.status === 503 && now
    },
    { timeout: 60_000, interval: 250 },
  )
  expect(found.checks.filter(({ state }) => state === 'failed').map(({ name }) => name)).toEqual([
    'migrations',
  ])
  await database.owner.query(`update _prisma_migrations set migration_name = '0023_server_state'
    where migration_name = '9999_later'`)
  expect(await waitFor(undefined)).toMatchObject({ status: 200 })
})

browserTest('a full disk is 503 in its own words, and passes', async ({ skip }) => {
  if ('reason' in disk) return skip(true, disk.reason)
  const ballast = join(folder, 'ballast')
  // As much as there is, then the rest byte by byte.
  for (const size of [1024 ** 2, 4096]) {
    try {
      for (;;) writeFileSync(ballast, Buffer.alloc(size), { flag: 'a' })
    } catch (error) {
      expect((error as NodeJS.ErrnoException).code).toBe('ENOSPC')
    }
  }
  const found = await waitFor('full')
  expect(found).toMatchObject({ status: 503, database: { says: 'The disk of the database is full.' } })
  expect(await health()).toBe(200)
  expect(await report(200)).toMatchObject({
    status: 503,
    problem: { type: 'urn:holdfast:problem:database-full' },
  })
  rmSync(ballast)
  expect(await waitFor(undefined)).toMatchObject({ status: 200 })
})

browserTest('a page says why it could not be made, under 503', async ({ openPage, pageErrors }) => {
  await engine.stop()
  const found = await waitFor('unreachable')
  expect(found).toMatchObject({ status: 503, database: { says: 'The database does not answer.' } })
  expect(await health()).toBe(200)
  expect(await report()).toMatchObject({
    status: 503,
    problem: { type: 'urn:holdfast:problem:database-unavailable' },
  })
  const page = await openPage({ as: { who: administrator, address: server.address } })
  const response = await page.goto(server.address)
  expect(response?.status()).toBe(503)
  await page.getByText('The database does not answer.').waitFor()
  pageErrors.length = 0
  engine = await startEngine({ dataDir: join(folder, 'data'), isDurable: false })
})

test('a dropped database is 503 in its own words', async () => {
  // The engine may have another port now, so this has a server of its own.
  const url = engine.url('dropped')
  await ensureDatabase(url)
  await migrate({ url })
  server = await startTestServer(url)
  expect(await waitFor(undefined)).toMatchObject({ status: 200 })
  await dropDatabase(url, true)
  const found = await waitFor('missing')
  expect(found).toMatchObject({ status: 503, database: { says: 'The database is not there.' } })
  expect(await health()).toBe(200)
  expect(await report()).toMatchObject({
    status: 503,
    problem: { type: 'urn:holdfast:problem:database-missing' },
  })
})
