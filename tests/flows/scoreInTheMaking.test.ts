import { beforeAll, expect } from 'vitest'
import { browserTest as test } from '@/tests/setup/browser'
import { makeTestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { laneProgramme } from '@/tests/store/laneProgramme'
import { send } from './pagesProgramme'

/** So many shipments that nobody waits for their forecasts to be made again. */
const LANES = 10
const SHIPMENTS = 170

let server: TestServer & { administrator: SignedIn }
beforeAll(async () => {
  const database = await makeTestDatabase()
  const started = await startTestServer(database.url)
  server = { ...started, administrator: await signInAs(database, ADMINISTRATOR) }
  const { register, events } = laneProgramme(
    Array.from({ length: LANES }, (_, lane) => ({
      plant: `P${lane}`,
      laboratory: 'LAB',
      service: 'road',
      days: Array.from({ length: SHIPMENTS }, (_, shipment) => 2 + ((lane + shipment) % 3)),
    })),
    Date.now(),
  )
  await send(server, 'PUT', '/api/register', register)
  await send(server, 'POST', '/api/events', events)
})

const COMPUTING = 'It is being computed'
/** Longer than the page waits before it reloads, ms. */
const LONGER = 7_000

test('the page of a score in the making reloads by itself, and does not pull back a reader who has left', async ({
  openPage,
}) => {
  const as = { who: server.administrator, address: server.address }
  const withoutScripts = await openPage({ as, javaScriptEnabled: false })
  const [stays, leaves] = [await openPage({ as }), await openPage({ as })]
  await Promise.all(
    [withoutScripts, stays, leaves].map(async (page) => {
      await page.goto(`${server.address}/lanes/score`)
      expect(await page.locator('main').textContent()).toContain(COMPUTING)
    }),
  )
  await leaves.getByRole('link', { name: 'Set-up' }).click()
  await leaves.waitForURL('**/setup')
  await leaves.waitForTimeout(LONGER)
  expect(new URL(leaves.url()).pathname).toBe('/setup')
  for (const page of [withoutScripts, stays])
    await page.getByText('over all plants').waitFor({ timeout: 60_000 })
})
