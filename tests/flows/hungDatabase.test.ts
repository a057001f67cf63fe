import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import { type Engine, startEngine } from '@/lib/store/engine/engine'
import { ensureDatabase } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { connect } from '@/tests/setup/database'
import { atEndOfFile } from '@/tests/setup/endOfFile'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'

const folder = mkdtempSync(join(tmpdir(), 'holdfast-hung-'))
let engine: Engine
let server: TestServer
let administrator: SignedIn

beforeAll(async () => {
  atEndOfFile(async () => rmSync(folder, { recursive: true, force: true }))
  engine = await startEngine({ dataDir: join(folder, 'data'), isDurable: false })
  atEndOfFile(() => engine.stop())
  const url = engine.url('hung')
  await ensureDatabase(url)
  await migrate({ url })
  const database = connect(url)
  atEndOfFile(database.close)
  administrator = await signInAs(database, ADMINISTRATOR)
  server = await startTestServer(url)
})
// Files end in reverse order, so the engine goes on before it is stopped.
afterAll(() => signalEngine('SIGCONT'))

/** Stops or continues the postmaster and all its children. Stopped first, the postmaster starts no more of them. */
function signalEngine(signal: 'SIGSTOP' | 'SIGCONT'): void {
  process.kill(engine.pid, signal)
  const children = readFileSync(`/proc/${engine.pid}/task/${engine.pid}/children`, 'utf8')
  for (const child of children.split(' ').filter(Boolean))
    try {
      process.kill(Number(child), signal)
    } catch (error) {
      // One that goes on may end before it is told.
      if ((error as NodeJS.ErrnoException).code !== 'ESRCH') throw error
    }
}

/** Waiting for an answer takes 11 s, or for a connection 15 s; then the machine of a test may be busy, ms. */
const SOON_MS = 30_000

/** What one request is answered, and after how long. */
async function ask(path: string, headers: Record<string, string> = {}) {
  const startedAt = performance.now()
  const signal = AbortSignal.timeout(40_000)
  try {
    const response = await fetch(server.address + path, { headers, redirect: 'manual', signal })
    const text = await response.text()
    const isInWords = text.includes('The database does not answer.')
    const mayRetry = Number(response.headers.get('retry-after')) > 0
    return { status: response.status, isInWords, mayRetry, tookMs: performance.now() - startedAt }
  } catch {
    return { status: null, isInWords: false, mayRetry: false, tookMs: performance.now() - startedAt }
  }
}

const PAGES = ['/sign-in', '/server', '/']
const asAdministrator = () => administrator.headers

test('a database that hangs gives 503 in words soon, and serves again as soon as it goes on', async () => {
  const all = () =>
    Promise.all([...PAGES.map((path) => ask(path, asAdministrator())), ask('/api/board', asAdministrator())])
  for (const { status } of await all()) expect([200, 303, 307]).toContain(status)
  expect((await ask('/api/ready')).status).toBe(200)

  signalEngine('SIGSTOP')
  const stoppedAt = performance.now()
  const probing = vi.waitUntil(async () => (await ask('/api/ready')).status === 503, {
    timeout: 30_000,
    interval: 100,
  })
  const readyUntil = probing.then(() => performance.now() - stoppedAt)
  for (const answer of await all()) {
    expect(answer).toMatchObject({ status: 503, isInWords: true, mayRetry: true })
    expect(answer.tookMs).toBeLessThan(SOON_MS)
  }
  expect(await readyUntil).toBeLessThan(SOON_MS)

  signalEngine('SIGCONT')
  await vi.waitUntil(async () => (await ask('/api/ready')).status === 200, { timeout: 10_000, interval: 100 })
  for (const { status } of await all()) expect([200, 303, 307]).toContain(status)
})
