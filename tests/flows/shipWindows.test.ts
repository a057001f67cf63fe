import type { Locator } from 'playwright-core'
import { beforeAll, describe, expect } from 'vitest'
import { formatPerHundred } from '@/app/ui/words/chance'
import { formatShipAdvice, formatShipReasons, type ShipTextContext } from '@/app/ui/words/shipAdvice'
import { toLocalDay } from '@/lib/hold/zone'
import { adviseShipping } from '@/lib/lane/ship/shipAdvice'
import { computeShipWindows } from '@/lib/lane/ship/shipWindow'
import { english } from '@/lib/messages/english'
import { browserTest as test } from '@/tests/setup/browser'
import { makeTestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { buildPureModel, laneProgramme } from '@/tests/store/laneProgramme'
import { send } from './pagesProgramme'

const NOW = Date.now()
const days = (some: (number | null)[], times: number) => Array.from({ length: times }, () => some).flat()
/** Plant A is slow by ground and quick by air, and sends a few to another laboratory. */
const lanes = laneProgramme(
  [
    { plant: 'A', laboratory: 'L1', service: 'ground', days: days([2, 4, 6, 12], 12) },
    { plant: 'A', laboratory: 'L1', service: 'air', days: days([1, 1, 2], 12) },
    { plant: 'A', laboratory: 'L2', service: 'air', days: days([3], 6) },
    { plant: 'B', laboratory: 'L2', service: 'air', days: days([3, 4], 10) },
  ],
  NOW,
)
const every = (hour: string) =>
  Object.fromEntries(['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'].map((day) => [day, hour]))
const limits = [
  { name: 'cut to door', from: 'collected', to: 'received', amount: 7, unit: 'days', counting: 'elapsed' },
] as const
const code = lanes.register.kits[0]?.code as string
const programme = {
  ...lanes,
  register: {
    ...lanes.register,
    protocols: [{ code: 'TEN', name: 'Ten', limits: [...limits] }],
    pickups: [
      { plant: 'A', service: 'ground', hours: every('23:50'), code: 'A by ground' },
      { plant: 'A', service: 'air', hours: { mon: '23:40', thu: '23:40' }, code: 'A by air' },
    ],
  },
}

let server: TestServer & { administrator: SignedIn }
let people: Record<'desk' | 'contact', SignedIn>
beforeAll(async () => {
  const database = await makeTestDatabase()
  const started = await startTestServer(database.url)
  server = { ...started, administrator: await signInAs(database, ADMINISTRATOR) }
  people = {
    desk: await signInAs(database, { laboratories: ['L2'] }),
    contact: await signInAs(database, { plants: ['B'] }),
  }
  await send(server, 'PUT', '/api/register', programme.register)
  await send(server, 'POST', '/api/events', programme.events)
})

const readText = async (locator: Locator) => (await locator.allInnerTexts()).join('\n').replace(/\s+/g, ' ')

/** The pure library's windows and advice for the same events. */
function advised(laboratory: string, services: string[]) {
  const { record } = buildPureModel(programme, NOW)
  const found = computeShipWindows(
    { plant: 'A', laboratory, services, limits: [...limits], tight: 0.05 },
    record,
    NOW,
  )
  const advice = adviseShipping(found, 0.05, toLocalDay(NOW, 'UTC'))
  const serviceName = (one: string | null) => `Service ${one}`
  const subject: ShipTextContext = { advice, zone: 'UTC', now: NOW, isCut: false, serviceName }
  return { found, subject }
}

describe('ship windows', () => {
  test('on a plant’s page match the pure library over the same events', async ({ openPage }) => {
    const page = await openPage({ as: { who: server.administrator, address: server.address } })
    await page.goto(`${server.address}/plants/A`)
    const ship = page.locator('section[aria-labelledby=ship]')
    const { found, subject } = advised('L1', ['air', 'ground'])
    const said = await readText(ship)
    expect(said).toContain(formatShipAdvice(english, subject))
    expect(formatShipAdvice(english, subject)).toContain('with Service air')
    for (const reason of formatShipReasons(english, subject)) expect(said).toContain(reason)
    const rows = ship.locator('tbody tr')
    expect(await rows.count()).toBe(14)
    const names = (await ship.locator('thead th').allInnerTexts()).slice(1)
    for (const [index, row] of (await rows.all()).entries())
      for (const service of ['air', 'ground']) {
        const day = toLocalDay(NOW, 'UTC') + index
        const window = found.windows.find((one) => one.day === day && one.service === service)
        const cell = await readText(row.locator('td').nth(names.indexOf(`Service ${service}`)))
        expect(cell).toMatch(
          window
            ? new RegExp(`^${formatPerHundred(english, window.chance ?? 0)} `)
            : /^(no pickup|has gone)$/,
        )
      }
    expect(said).toMatch(/Cut .* but picked up only /)
    expect(await readText(page.locator('main'))).toContain('Follow the site’s own safety rules')
  })

  test('of another laboratory are chosen by a form and kept in the address', async ({ openPage }) => {
    const page = await openPage({
      javaScriptEnabled: false,
      as: { who: server.administrator, address: server.address },
    })
    await page.goto(`${server.address}/plants/A`)
    await page.selectOption('select[name=ship]', { label: 'To Laboratory L2' })
    await page.click('section[aria-labelledby=ship] button')
    await page.waitForURL(/ship=/)
    const said = await readText(page.locator('section[aria-labelledby=ship]'))
    expect(said).toContain(formatShipAdvice(english, advised('L2', ['air']).subject))
    expect(said).not.toContain('Service ground')
  })

  test('of another desk’s laboratory are hidden from this desk', async ({ openPage }) => {
    const page = await openPage({ as: { who: people.desk, address: server.address } })
    await page.goto(`${server.address}/plants/A`)
    const said = await readText(page.locator('main'))
    expect(said).toContain(formatShipAdvice(english, advised('L2', ['air']).subject))
    expect(said).not.toContain('Laboratory L1')
    expect(said).not.toContain('ground')
    const other = await openPage({ as: { who: people.contact, address: server.address } })
    expect((await other.request.get(`${server.address}/plants/A`)).status()).toBe(404)
  })

  test('on the board are one line in each band, once computed', async ({ openPage }) => {
    const page = await openPage({ as: { who: server.administrator, address: server.address } })
    const { subject } = advised('L1', ['air', 'ground'])
    const day = /cut ([^,.]+)/i.exec(formatShipAdvice(english, subject))?.[1] as string
    await expect
      .poll(async () => {
        await page.goto(server.address)
        return readText(page.locator('section[aria-labelledby=plant-A]'))
      })
      .toContain(` · cut ${day}`)
  })

  test('are not on the page of a sample that has been handed over', async ({ openPage }) => {
    const page = await openPage({ as: { who: server.administrator, address: server.address } })
    await page.goto(`${server.address}/samples/${code}`)
    expect(await page.locator('section[aria-labelledby=ship]').count()).toBe(0)
  })
})
