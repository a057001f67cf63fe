import type { Locator } from 'playwright-core'
import { beforeAll, describe, expect } from 'vitest'
import { getLanes, type Lane, laneKey, TRANSIT } from '@/lib/lane/model/lanes'
import { computeTransitCurve } from '@/lib/lane/model/transitCurve'
import { computeTurnaround } from '@/lib/lane/model/turnaround'
import { browserTest as test } from '@/tests/setup/browser'
import { makeTestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { buildPureModel, laneProgramme } from '@/tests/store/laneProgramme'
import { send } from './pagesProgramme'

const NOW = Date.now()
const days = (some: (number | null)[], times: number) => Array.from({ length: times }, () => some).flat()
const programme = laneProgramme(
  [
    { plant: 'A', laboratory: 'L1', service: 'road', days: days([2, 3, 3, 4], 15) },
    { plant: 'B', laboratory: 'L1', service: 'road', days: [...days([1, 1, 2], 20), ...days([2, 2, 3], 7)] },
    { plant: 'C', laboratory: 'L1', service: 'road', days: days([2, 2, 5], 10) },
    { plant: 'D', laboratory: 'L2', service: 'road', days: [null, ...days([1, 3], 20)] },
  ],
  NOW,
)

let server: TestServer & { administrator: SignedIn }
let people: Record<'contact' | 'desk' | 'reader', SignedIn>
beforeAll(async () => {
  const database = await makeTestDatabase()
  const started = await startTestServer(database.url)
  server = { ...started, administrator: await signInAs(database, ADMINISTRATOR) }
  people = {
    contact: await signInAs(database, { plants: ['D'] }),
    desk: await signInAs(database, { laboratories: ['L1'] }),
    reader: await signInAs(database, { isReader: true }),
  }
  await send(server, 'PUT', '/api/register', programme.register)
  await send(server, 'POST', '/api/events', programme.events)
})

const readText = async (locator: Locator) => (await locator.allInnerTexts()).join('\n')
const cells = (text: string) => text.split(/\s*\t\s*|\n/).map((one) => one.trim())
const open = (steps: number | null) => `${steps} open ${steps === 1 ? 'day' : 'days'}`

describe('the lanes', () => {
  test('say what the pure library makes of the same events, the slower lane first', async ({ openPage }) => {
    const page = await openPage({ as: { who: server.administrator, address: server.address } })
    await page.goto(`${server.address}/lanes`)
    const { record, lives } = buildPureModel(programme, NOW)
    const rows = page.locator('main table').first().locator('tbody tr')
    expect(await rows.count()).toBe(4)
    expect(await readText(rows.first())).toMatch(
      /Plant B to Laboratory L1[\s\S]*Since \d+ \w+ this lane takes/,
    )
    expect(await readText(page.locator('h1'))).toBe(
      'One of four lanes has become slower in the last three months.',
    )
    for (const plant of ['A', 'B', 'C', 'D']) {
      const way = { plant, laboratory: plant === 'D' ? 'L2' : 'L1', service: 'road' }
      const { levels, observations } = getLanes(record).get(laneKey(way)) as Lane
      const { medianSteps, p90Steps } = computeTransitCurve(
        record.getStage(TRANSIT).fit,
        levels,
        observations,
      )
      const said = cells(await readText(rows.filter({ hasText: `Plant ${plant} to` })))
      expect(said).toEqual(expect.arrayContaining([open(medianSteps), open(p90Steps)]))
      expect(said).toContain(String(observations.length))
    }
    const parts = page.locator('main table').nth(1).locator('tbody tr')
    const transit = computeTurnaround(lives, NOW).find(({ name }) => name === 'transit')
    expect(cells(await readText(parts.filter({ hasText: 'on the way' }))).slice(-2)).toEqual([
      String(transit?.closed),
      String(transit?.open),
    ])
  })

  test('one lane has its counts at risk in a table, its presumed lost, and a link from the list', async ({
    openPage,
  }) => {
    const page = await openPage({ as: { who: people.contact, address: server.address } })
    await page.goto(`${server.address}/lanes`)
    expect(await page.locator('main table').first().locator('tbody tr').count()).toBe(1)
    await page.getByRole('link', { name: 'Plant D to Laboratory L2' }).click()
    await page.waitForURL('**/lanes/D/L2/road')
    await page.getByText('Show as a table').click()
    const { record } = buildPureModel(programme, NOW)
    const { levels, observations } = getLanes(record).get(
      laneKey({ plant: 'D', laboratory: 'L2', service: 'road' }),
    ) as Lane
    const { points } = computeTransitCurve(record.getStage(TRANSIT).fit, levels, observations)
    const rows = await page.locator('details table').first().locator('tbody tr').allInnerTexts()
    expect(rows.map((row) => cells(row).slice(1, 3))).toEqual(
      points.map(({ atRisk, arrived }) => [atRisk, arrived].map((count) => String(Math.round(count)))),
    )
    const shown = rows.map((row) => Number(/(\d+)\s%/.exec(cells(row)[3] ?? '')?.[1]))
    for (const [index, { notYet }] of points.entries())
      expect(Math.abs((shown[index] as number) - 100 * (1 - notYet))).toBeLessThanOrEqual(1)
    const lost = page.getByRole('heading', { name: 'Presumed lost' })
    expect(await lost.count()).toBe(1)
  })

  test('are filtered by an address, which a form without scripts makes', async ({ openPage }) => {
    const page = await openPage({
      as: { who: server.administrator, address: server.address },
      javaScriptEnabled: false,
    })
    await page.goto(`${server.address}/lanes`)
    await page.getByLabel('To').selectOption({ label: 'Laboratory L2' })
    await page.getByRole('button', { name: 'Show' }).click()
    await page.waitForURL('**/lanes?*laboratory=L2*')
    expect(await page.locator('main table').first().locator('tbody tr').allInnerTexts()).toEqual([
      expect.stringContaining('Plant D to Laboratory L2'),
    ])
  })

  test('of another look like ones that do not exist, and a reader is shown only the whole programme', async ({
    openPage,
  }) => {
    const status = async (who: SignedIn, path: string) =>
      (await fetch(server.address + path, { headers: who.headers })).status
    expect(await status(people.contact, '/lanes/D/L2/road')).toBe(200)
    expect(await status(people.contact, '/lanes/A/L1/road')).toBe(404)
    expect(await status(people.contact, '/lanes/D/L2/~')).toBe(404)
    expect(await status(people.desk, '/lanes/A/L1/road')).toBe(200)
    expect(await status(people.desk, '/lanes/D/L2/road')).toBe(404)
    expect(await status(people.reader, '/lanes/A/L1/road')).toBe(404)
    const page = await openPage({ as: { who: people.reader, address: server.address } })
    await page.goto(`${server.address}/lanes`)
    const { record } = buildPureModel(programme, NOW)
    const { observations, fit } = record.getStage(TRANSIT)
    const { medianSteps, p90Steps } = computeTransitCurve(fit, [], observations)
    const text = await readText(page.locator('main'))
    expect(text).toContain(
      `Half of the shipments arrive within ${open(medianSteps)}, nine of ten within ${open(p90Steps)}.`,
    )
    expect(text).not.toMatch(/Plant [A-D]|Laboratory L\d/)
  })
})
