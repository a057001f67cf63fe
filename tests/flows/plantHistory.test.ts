import { parse } from 'csv-parse/sync'
import type { Page } from 'playwright-core'
import { beforeAll, describe, expect } from 'vitest'
import { formatKitCode, generateKitCode } from '@/lib/custody/kitCode'
import { makeRandom } from '@/tests/bench/manyEvents'
import { smallRegister } from '@/tests/cases/smallProgramme'
import { browserTest as test } from '@/tests/setup/browser'
import { makeTestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { send } from './pagesProgramme'

const random = makeRandom(5519)
const codes = (many: number) => Array.from({ length: many }, () => generateKitCode(random)).sort()
/** The first plant has a sample that was kept, samples that ended at one instant, and an open one; another maker has one. */
const KEPT = generateKitCode(random)
const ENDED = codes(119)
const OPEN = generateKitCode(random)
const THEIRS = codes(2)

const PATH = '/plants/PL1/history'
const KEPT_TIMES = {
  collected: '2026-09-02T10:00:00+01:00',
  dispatched: '2026-09-03T16:00:00+01:00',
  received: '2026-09-05T09:30:00-04:00',
  loaded: '2026-09-06T08:00:00-04:00',
  reported: '2026-09-20T12:00:00-04:00',
}

let server: TestServer
let administrator: SignedIn
let contact: SignedIn
let rival: SignedIn
let newcomer: SignedIn
let desk: SignedIn
beforeAll(async () => {
  const database = await makeTestDatabase()
  server = await startTestServer(database.url)
  administrator = await signInAs(database, ADMINISTRATOR)
  contact = await signInAs(database, { plants: ['PL1'] })
  rival = await signInAs(database, { plants: ['PL2'] })
  newcomer = await signInAs(database, { plants: ['PL3'] })
  desk = await signInAs(database, { laboratories: ['LAB'] })
  const { plants } = smallRegister() as { plants: unknown[] }
  const kit = (plant: string, product: string) => (code: string) => ({
    code,
    product,
    plant,
    laboratory: 'LAB',
    service: 'road',
    issuedAt: '2026-09-01T08:00:00Z',
  })
  const register = smallRegister({
    plants: [...plants, { code: 'PL3', name: 'A new plant', zone: 'Europe/Lisbon' }],
    kits: [...[KEPT, ...ENDED, OPEN].map(kit('PL1', 'FELT')), ...THEIRS.map(kit('PL2', 'CORK'))],
  })
  await send({ ...server, administrator }, 'PUT', '/api/register', register)
  const event = (sample: string, kind: string, at: string) => ({
    source: 'office',
    id: `${sample} ${kind}`,
    sample,
    kind,
    at,
  })
  await send({ ...server, administrator }, 'POST', '/api/events', [
    ...Object.entries(KEPT_TIMES).map(([kind, at]) => event(KEPT, kind, at)),
    ...ENDED.map((code) => ({ ...event(code, 'collected', '2026-09-10T09:00:00Z'), lot: `=${code}` })),
    event(THEIRS[0] as string, 'collected', '2026-09-01T09:00:00Z'),
    event(THEIRS[0] as string, 'loaded', '2026-09-17T09:00:00Z'),
    ...[...ENDED, ...THEIRS].map((code) => event(code, 'lost', '2026-09-18T10:00:00Z')),
  ])
})

const get = (who: SignedIn, path: string) => fetch(server.address + path, { headers: who.headers })
const samples = async (page: Page) =>
  (await page.locator('tbody th a').allTextContents()).map((text) => text.replace('-', ''))
const text = async (page: Page) => (await page.locator('main').textContent()) ?? ''
const NEWEST_FIRST = [KEPT, ...ENDED.toReversed()]

describe('the settled samples of a plant', () => {
  test.for([true, false])('are read page by page, scripts: %s', async (javaScriptEnabled, { openPage }) => {
    const page = await openPage({ javaScriptEnabled, as: { who: contact, address: server.address } })
    await page.goto(`${server.address}/plants/PL1`)
    await page.getByRole('link', { name: 'All settled samples' }).click()
    await page.waitForURL(`**${PATH}`)
    await page.getByRole('heading', { name: 'Settled samples of A plant' }).waitFor()
    await expect.poll(() => page.title()).toBe('Settled samples of A plant · Holdfast')
    expect(await text(page)).toContain('120 samples are settled. Days are those of Lisbon.')
    expect(await samples(page)).toEqual(NEWEST_FIRST.slice(0, 50))
    for (const from of [50, 100]) {
      const last = page.url()
      await page.getByRole('link', { name: 'Older' }).click()
      await page.waitForURL((url) => url.href !== last)
      expect(await samples(page)).toEqual(NEWEST_FIRST.slice(from, from + 50))
    }
    expect(await page.getByRole('link', { name: 'Older' }).count()).toBe(0)
    await page.getByRole('link', { name: 'Newest' }).click()
    await page.waitForURL(`**${PATH}`)
    expect(await samples(page)).toEqual(NEWEST_FIRST.slice(0, 50))
    await page.locator('main').getByRole('link', { name: 'A plant', exact: true }).click()
    await page.waitForURL('**/plants/PL1')
  })

  test('show their standing, the day in the plant’s zone, and how long each stage took', async ({
    openPage,
  }) => {
    const page = await openPage({ as: { who: contact, address: server.address } })
    await page.goto(server.address + PATH)
    const cells = (code: string) =>
      page
        .locator('tr', { hasText: formatKitCode(code) })
        .locator('th, td')
        .allTextContents()
    expect(await page.locator('thead th').allTextContents()).toEqual([
      'Sample',
      'Standing',
      'Settled',
      'kit issued to cut',
      'cut to hand-over',
      'on the way',
      'received to chamber',
      'chamber to report',
    ])
    const kept = await cells(KEPT)
    expect(kept).toEqual([
      expect.stringContaining('Felt tile'),
      'kept',
      expect.stringMatching(/^Sun 20 Sep/),
      '25 h',
      '30 h',
      '47 h',
      '23 h',
      '14 d',
    ])
    expect((await cells(ENDED[118] as string)).slice(0, 2)).toEqual([
      expect.stringContaining(`lot =${ENDED[118]}`),
      'ended: lost',
    ])
  })

  test('are exported as one CSV, each once, with every milestone in UTC and no formula', async () => {
    const reply = await get(contact, `/api${PATH}`)
    expect(reply.status).toBe(200)
    expect(reply.headers.get('content-type')).toBe('text/csv; charset=utf-8; header=present')
    expect(reply.headers.get('content-disposition')).toBe('attachment; filename="PL1-settled-samples.csv"')
    const rows: Record<string, string>[] = parse(await reply.text(), { columns: true })
    expect(rows.map(({ code }) => code)).toEqual(NEWEST_FIRST)
    expect(rows[0]).toEqual({
      code: KEPT,
      product: 'FELT',
      productName: 'Felt tile',
      lot: '',
      purpose: 'first',
      laboratory: 'LAB',
      service: 'road',
      standing: 'kept',
      ending: '',
      lapsedLimit: '',
      lapsedDueAt: '',
      issuedAt: '2026-09-01T08:00:00.000Z',
      producedAt: '',
      collectedAt: '2026-09-02T09:00:00.000Z',
      sealedAt: '',
      dispatchedAt: '2026-09-03T15:00:00.000Z',
      deliveredAt: '',
      receivedAt: '2026-09-05T13:30:00.000Z',
      conditionedAt: '',
      loadedAt: '2026-09-06T12:00:00.000Z',
      reportedAt: '2026-09-20T16:00:00.000Z',
      settledAt: '2026-09-20T16:00:00.000Z',
      replacedBy: '',
    })
    const [, ended] = rows
    expect(ended).toMatchObject({ standing: 'ended', ending: 'lost', lot: `'=${ended?.code}` })
    expect(ended?.settledAt).toBe('2026-09-18T10:00:00.000Z')
  })

  test('name in the CSV the limit that lapsed, and when it was due', async () => {
    const reply = await get(administrator, '/api/plants/PL2/history')
    const rows: Record<string, string>[] = parse(await reply.text(), { columns: true })
    expect(rows.find(({ code }) => code === THEIRS[0])).toMatchObject({
      standing: 'lapsed',
      lapsedLimit: 'cut to chamber',
      lapsedDueAt: '2026-09-11T09:00:00.000Z',
      loadedAt: '2026-09-17T09:00:00.000Z',
    })
  })

  test('are shown to a desk if they go to its laboratory, which the page says', async ({ openPage }) => {
    const page = await openPage({ as: { who: desk, address: server.address } })
    await page.goto(server.address + PATH)
    expect(await text(page)).toContain('Only samples that go to your laboratory are shown.')
  })

  test('of another maker get the same answer as those of an unknown plant', async ({ openPage }) => {
    const page = await openPage({ expectedErrors: [/404/], as: { who: rival, address: server.address } })
    for (const plant of ['PL1', 'PL9']) {
      expect((await page.goto(`${server.address}/plants/${plant}/history`))?.status()).toBe(404)
      expect(await text(page)).toContain('No plant of yours has this code.')
      const reply = await get(rival, `/api/plants/${plant}/history`)
      expect(reply.status).toBe(404)
      expect((await reply.json()).type).toBe('urn:holdfast:problem:no-plant')
    }
    const own: Record<string, string>[] = parse(await (await get(rival, '/api/plants/PL2/history')).text(), {
      columns: true,
    })
    expect(own.map(({ code }) => code)).toEqual(THEIRS.toReversed())
  })

  test('explain an empty list; a page past the last has a link back', async ({ openPage }) => {
    const page = await openPage({ as: { who: newcomer, address: server.address } })
    await page.goto(`${server.address}/plants/PL3/history`)
    expect(await text(page)).toContain('No sample of this plant is settled yet.')
    expect(await page.getByText('as CSV').count()).toBe(0)
    const past = await openPage({ as: { who: contact, address: server.address } })
    await past.goto(`${server.address}${PATH}?older=0.${KEPT}`)
    expect(await text(past)).toContain('No settled sample is older than that')
    await past.getByRole('link', { name: 'Newest' }).click()
    await past.waitForURL(`**${PATH}`)
  })

  test('ignore an invalid cursor', async () => {
    for (const older of ['x', '1', "1.'", `1.${KEPT}&older=2.${KEPT}`])
      expect((await get(contact, `${PATH}?older=${older}`)).status).toBe(200)
  })
})
