import type { Page } from 'playwright-core'
import { beforeAll, describe, expect } from 'vitest'
import { formatKitCode } from '@/lib/custody/kitCode'
import type { Sample } from '@/lib/custody/sample'
import { expectedScores, type ScoredSample } from '@/tests/cases/expectedScores'
import { caseFile, sharedCase } from '@/tests/cases/sharedCase'
import { browserTest as test, visitAs } from '@/tests/setup/browser'
import { makeTestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'

let server: TestServer
let administrator: SignedIn
let acceptedAt: number
beforeAll(async () => {
  const database = await makeTestDatabase()
  server = await startTestServer(database.url)
  administrator = await signInAs(database, ADMINISTRATOR)
  visitAs(administrator, server.address)
  const { document } = sharedCase('autumn')
  const register = await send('PUT', '/api/register', 'application/json', JSON.stringify(document))
  expect(register.status).toBe(200)
  const answer = await send(
    'POST',
    '/api/events',
    'application/x-ndjson',
    caseFile('autumn', 'events.ndjson'),
  )
  expect(answer.status).toBe(200)
  // 430 lines, of which 13 repeat one; 4 name kits that the register does not have.
  expect(await answer.json()).toMatchObject({ refused: 0, unplaced: 4 })
  const { rows } = await database.owner.query<{ received_at: Date }>(
    'select max(received_at) as received_at from event',
  )
  acceptedAt = Number(rows[0]?.received_at)
})

function send(method: string, path: string, type: string, body: string): Promise<Response> {
  const headers = { ...administrator.headers, 'content-type': type }
  return fetch(`${server.address}${path}`, { method, headers, body })
}

/** Every sample of the case as the pure library has it at `now`; the shared table of clocks holds it to account. */
function expectedSamples(now: number): Sample[] {
  return scoredSamples(now).map(({ sample }) => sample)
}

/** The same with their forecasts. What was sent without a time of writing has been known since it came. */
const scoredSamples = (now: number) => expectedScores(sharedCase('autumn'), acceptedAt, now)

/** The text of a page once its data have come. */
async function readText(page: Page): Promise<string> {
  await page.locator('main h1').first().waitFor()
  return (await page.locator('main').textContent()) ?? ''
}

describe('the autumn events, sent to a running server', () => {
  test('show every open sample on the board with its standing', async ({ page }) => {
    await page.goto(server.address)
    await page.locator('[data-sample]').first().waitFor()
    const shown = await page
      .locator('[data-settled=false] [data-sample]')
      .evaluateAll((links) =>
        links.map(
          (link) => `${link.textContent} ${link.closest('[data-standing]')?.getAttribute('data-standing')}`,
        ),
      )
    const now = Date.now()
    const expected = scoredSamples(now)
      .filter(({ sample }) => sample.settled === null)
      .map(({ sample, standing }) => `${formatKitCode(sample.kit.code)} ${standing}`)
    expect(expected.length).toBeGreaterThan(30)
    expect(shown.sort()).toEqual(expected.sort())
    // From the shared table: this clock has been over its due since March.
    const line = page.locator('li', { hasText: '5GTM-WN6B' })
    expect(await line.textContent()).toMatch(/lapsed.*ago/s)
  })

  test('show each plant its own, open and settled', async ({ page }) => {
    for (const plant of ['P1', 'P2', 'P3', 'P4']) {
      await page.goto(`${server.address}/plants/${plant}`)
      const shown = await readText(page)
      const now = Date.now()
      for (const sample of expectedSamples(now)) {
        const isShown = shown.includes(formatKitCode(sample.kit.code))
        expect(isShown, `${sample.kit.code} on the page of ${plant}`).toBe(sample.kit.plant === plant)
      }
    }
  })

  test('show on the page of a sample its standing and every clock with its state', async ({ page }) => {
    const codes = ['2P4VA4NQ', '4P7ERAFC', '3VW347NC', '5GTMWN6B']
    for (const code of codes) {
      await page.goto(`${server.address}/samples/${code}`)
      const now = Date.now()
      const { sample, standing } = scoredSamples(now).find(
        (one) => one.sample.kit.code === code,
      ) as ScoredSample
      const text = await readText(page)
      expect(text).toContain(formatKitCode(code))
      expect(text.toLowerCase()).toContain(standing)
      for (const { limit } of sample.clocks) expect(text).toContain(limit.name)
      for (const { event } of sample.events) expect(text).toContain(event.id)
    }
  })

  test('leave the four events of unknown kits on the page of what is unplaced', async ({ page }) => {
    await page.goto(`${server.address}/unplaced`)
    const text = (await readText(page)).replaceAll('-', '')
    for (const code of ['XGN3BC4A', 'VHFFNBGU', 'A7RYGFQ7', '6CK84DEM']) expect(text).toContain(code)
  })
})
