import type pg from 'pg'
import { afterEach, beforeAll, describe, expect, test } from 'vitest'
import { generateKitCode } from '@/lib/custody/kitCode'
import { makeRandom } from '@/tests/bench/manyEvents'
import { KIT, smallRegister } from '@/tests/cases/smallProgramme'
import { makeTestKey } from '@/tests/setup/apiKey'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { makeManyClients } from './manyClients'

let server: TestServer
let database: TestDatabase
let administrator: SignedIn
let secret: string
beforeAll(async () => {
  database = await makeTestDatabase()
  administrator = await signInAs(database, ADMINISTRATOR)
  secret = await makeTestKey(database)
  server = await startTestServer(database.url, { HOLDFAST_REQUESTS_A_MINUTE: '10000' })
  const put = await fetch(`${server.address}/api/register`, {
    method: 'PUT',
    headers: { authorization: `Bearer ${secret}`, 'content-type': 'application/json' },
    body: JSON.stringify(smallRegister()),
  })
  expect(put.status).toBe(200)
  expect((await post(report(KIT))).status).toBe(200)
  // The first answers make the transit model and its scores.
  for (const path of PATHS) expect([path, (await open(path, 60_000)).status]).toEqual([path, 200])
})

const PATHS = ['/', '/api/board', '/due', '/plants/PL1']

let count = 0
const report = (sample: string) => ({
  source: 'desk',
  id: `report ${++count}`,
  sample,
  kind: 'collected',
  at: '2026-09-02T08:00:00Z',
})

/** Ten seconds are less than any wait for a lock or a connection was, and more than a busy machine takes. */
const open = (path: string, timeoutMs = 10_000) =>
  fetch(server.address + path, { headers: administrator.headers, signal: AbortSignal.timeout(timeoutMs) })
const post = (...events: unknown[]) =>
  fetch(`${server.address}/api/events`, {
    method: 'POST',
    headers: { authorization: `Bearer ${secret}`, 'content-type': 'application/json' },
    body: JSON.stringify(events),
  })

let holder: pg.PoolClient | undefined
afterEach(async () => {
  await holder?.query('rollback')
  holder?.release()
  holder = undefined
})

/** A session that someone forgot after this statement. */
async function forget(statement: string) {
  holder = await database.owner.connect()
  await holder.query('begin')
  await holder.query(statement)
}

async function recall() {
  await holder?.query('rollback')
}

const WRITER_LOCK = "select pg_advisory_xact_lock(hashtext('holdfast writer'))"

describe('a table of events that someone has locked', () => {
  test('stops no page that reads samples; what reads or writes events is 503 soon, and all works afterwards', async () => {
    await forget('lock table event in access exclusive mode')
    for (const path of PATHS) expect([path, (await open(path)).status]).toEqual([path, 200])
    const page = await open(`/samples/${KIT}`)
    expect([page.status, page.headers.get('retry-after')]).toEqual([503, '10'])
    expect(await page.text()).toContain('busy or locked')
    const refused = await post(report(KIT))
    expect([refused.status, refused.headers.get('retry-after')]).toEqual([503, '10'])
    expect(await refused.json()).toMatchObject({ type: 'urn:holdfast:problem:busy' })
    expect((await open('/api/board')).status).toBe(200)
    await recall()
    expect((await post(report(KIT))).status).toBe(200)
    expect((await open(`/samples/${KIT}`)).status).toBe(200)
  })
})

describe('a writer at work', () => {
  test('stops no reader although samples are due, which are derived when it is done', async () => {
    await database.owner.query("update sample set derive_again_at = now() - interval '1 minute'")
    const countDue = async () =>
      (await database.owner.query('select from sample where derive_again_at <= now()')).rowCount
    const due = await countDue()
    expect(due).toBeGreaterThan(0)
    await forget(WRITER_LOCK)
    for (const path of PATHS) expect([path, (await open(path)).status]).toEqual([path, 200])
    expect(await countDue()).toBe(due)
    await recall()
    await expect.poll(countDue, { timeout: 20_000 }).toBe(0)
  })

  test('lets a hundred wait; others are refused at once, on forms too, and nothing of them is stored', async () => {
    const random = makeRandom(1201)
    const reports = Array.from({ length: 130 }, () => report(generateKitCode(random)))
    await forget(WRITER_LOCK)
    // Four requests of a key are in work at a time.
    const keys = await Promise.all(Array.from({ length: 33 }, () => makeTestKey(database)))
    const postAs = makeManyClients(server.address)
    const answers = reports.map(async (one, n) => {
      const headers = { authorization: `Bearer ${keys[n % keys.length]}` }
      return { one, answer: await postAs(n, '/api/events', headers, [one]) }
    })
    const [first] = await Promise.all([Promise.race(answers), open('/api/board')])
    expect(first.answer).toEqual({ status: 503, retryAfter: '10' })
    const form = await fetch(`${server.address}/api/record`, {
      method: 'POST',
      redirect: 'manual',
      headers: { ...administrator.headers, origin: server.address },
      body: new URLSearchParams({
        token: 'a'.repeat(22),
        kind: 'received',
        sample: KIT,
        at: '2026-09-03T08:00Z',
      }),
    })
    expect([form.status, form.headers.get('retry-after')]).toEqual([503, '10'])
    await recall()
    const all = await Promise.all(answers)
    const refused = all.filter(({ answer }) => answer.status === 503).map(({ one }) => one.id)
    expect(all.filter(({ answer }) => answer.status === 200)).toHaveLength(reports.length - refused.length)
    expect(refused.length).toBeGreaterThan(0)
    const { rows } = await database.owner.query<{ id: string }>('select id from event where source = $1', [
      'desk',
    ])
    expect(rows.filter(({ id }) => refused.includes(id))).toEqual([])
    expect(rows.length).toBeGreaterThan(100)
  })
})

describe('changes of people that wait for another server', () => {
  test('keep no connection from those who are signed in', async () => {
    await forget("select pg_advisory_xact_lock(hashtext('holdfast people'))")
    const changes = Array.from({ length: 8 }, (_, at) =>
      fetch(`${server.address}/api/setup/people`, {
        method: 'POST',
        redirect: 'manual',
        headers: { ...administrator.headers, origin: server.address },
        body: new URLSearchParams({ name: 'One', email: `one-${at}@test.invalid`, zone: 'UTC' }),
      }),
    )
    const waiting = () =>
      database.owner
        .query("select from pg_locks where locktype = 'advisory' and not granted")
        .then((all) => all.rowCount)
    await expect.poll(waiting, { timeout: 20_000 }).toBeGreaterThan(0)
    for (const path of PATHS) expect([path, (await open(path)).status]).toEqual([path, 200])
    await recall()
    const statuses = (await Promise.all(changes)).map(({ status }) => status)
    expect(statuses).toEqual(statuses.map(() => 303))
    const { rowCount } = await database.owner.query("select from person where email like 'one-%'")
    expect(rowCount).toBe(changes.length)
  })
})
