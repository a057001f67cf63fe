import type { Page } from 'playwright-core'
import { beforeAll, describe, expect } from 'vitest'
import { generateKitCode } from '@/lib/custody/kitCode'
import { DAY, HOUR } from '@/lib/hold/zone'
import { CONFIRMED } from '@/lib/intake/hand/eventForm'
import { makeRandom } from '@/tests/bench/manyEvents'
import { smallRegister } from '@/tests/cases/smallProgramme'
import { readMain, browserTest as test } from '@/tests/setup/browser'
import { makeTestDatabase } from '@/tests/setup/database'
import { startTestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type ServedProgramme, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { CONTACT, DESK, PHONE, recordAs } from './byHandProgramme'
import { send } from './pagesProgramme'

const random = makeRandom(2424)
const [byForm, bySend, byWire, together, rested] = Array.from({ length: 5 }, () =>
  generateKitCode(random),
) as [string, string, string, string, string]

const CONDITIONED_HOURS_AGO = 2

let server: ServedProgramme & { desk: SignedIn; contact: SignedIn }
beforeAll(async () => {
  const database = await makeTestDatabase()
  const started = await startTestServer(database.url)
  server = {
    ...started,
    database,
    administrator: await signInAs(database, ADMINISTRATOR),
    desk: await signInAs(database, DESK),
    contact: await signInAs(database, CONTACT),
  }
  const now = Date.now()
  const ago = (hours: number) => new Date(now - hours * HOUR).toISOString()
  const limits = [
    {
      name: 'cut to chamber',
      from: 'collected',
      to: 'loaded',
      amount: 240,
      unit: 'hours',
      extendable: false,
    },
    { name: 'rest', from: 'conditioned', to: 'loaded', amount: 72, atLeast: 24, unit: 'hours' },
    { name: 'cooling', from: 'collected', to: 'dispatched', amount: 72, atLeast: 48, unit: 'hours' },
  ]
  const kit = { product: 'FELT', plant: 'PL1', laboratory: 'LAB', issuedAt: ago(30 * 24) }
  const kits = [byForm, bySend, byWire, together, rested].map((code) => ({ ...kit, code }))
  const protocols = [{ code: 'TEN', name: 'Rested', limits }]
  await send(server, 'PUT', '/api/register', smallRegister({ kits, protocols }))
  const report = (sample: string, kind: string, hours: number) => ({
    source: 'desk',
    id: `${sample} ${kind}`,
    sample,
    kind,
    at: ago(hours),
  })
  await send(server, 'POST', '/api/events', [
    ...[byForm, bySend, byWire].flatMap((code) => [
      report(code, 'collected', 100),
      report(code, 'dispatched', 50),
      report(code, 'received', 5),
      report(code, 'conditioned', CONDITIONED_HOURS_AGO),
    ]),
    report(together, 'collected', 10),
    report(rested, 'collected', 60),
  ])
})

async function openAs(open: (options: object) => Promise<Page>, who: SignedIn, path: string) {
  const page = await open({ ...PHONE, as: { who, address: server.address } })
  await page.goto(`${server.address}${path}`)
  return page
}

const press = (page: Page, name: string | RegExp) => page.getByRole('button', { name }).click()
const CONFIRM = 'It happened all the same; record it'

describe('a sample whose least time is not over', () => {
  test('is loaded by its form only once that is confirmed, and nothing typed is lost', async ({
    openPage,
  }) => {
    const page = await openAs(openPage, server.desk, `/samples/${byForm}?record=loaded`)
    await page.getByText('At another time, or with a note').click()
    await page.getByLabel('Note').fill('chamber 4')
    expect(await page.getByLabel(CONFIRM).count()).toBe(0)
    await press(page, /^Record: /)
    await page.getByText('It is too early: by a least time').waitFor()
    expect(await page.getByLabel('Note').inputValue()).toBe('chamber 4')
    await page.getByLabel(CONFIRM).check()
    await press(page, /^Record: /)
    await page.getByText('Recorded: ').waitFor()
    const said = await readMain(page)
    expect(said).toContain('chamber 4')
    expect(said).toMatch(/early: stopped 2[12] hours.* too soon/)
  })

  test('is loaded through the interface only with the same word', async () => {
    const refused = await recordAs(server, server.desk, { kind: 'loaded', sample: bySend })
    expect(refused.status).toBe(422)
    expect(refused.answer.errors).toMatchObject([
      { pointer: '/confirm', detail: expect.stringContaining('“in the chamber” may not be before') },
    ])
    const taken = await recordAs(server, server.desk, { kind: 'loaded', sample: bySend, confirm: CONFIRMED })
    expect([taken.status, taken.answer.result]).toEqual([200, 'recorded'])
  })

  test('is loaded on the wire as it is reported', async () => {
    const loaded = {
      source: 'chamber',
      id: '1',
      sample: byWire,
      kind: 'loaded',
      at: new Date().toISOString(),
    }
    await send(server, 'POST', '/api/events', [loaded])
    const again = await recordAs(server, server.desk, { kind: 'loaded', sample: byWire, confirm: CONFIRMED })
    expect(again.status).toBe(422)
  })

  test('is handed over with others only once that is confirmed', async ({ openPage }) => {
    const page = await openAs(openPage, server.contact, '/plants/PL1')
    await page.getByText('ready to hand over').first().click()
    for (const box of await page.locator('input[name=sample]').all()) await box.check()
    await page.getByRole('combobox', { name: 'Carrier service' }).selectOption('road')
    await press(page, /^Record for /)
    await page.getByText('At least one of the ticked samples must not go on now').waitFor()
    expect(await page.getByRole('combobox', { name: 'Carrier service' }).inputValue()).toBe('road')
    await page.getByLabel(CONFIRM).check()
    await press(page, /^Record for /)
    await page.getByText('Recorded for 2 samples: handed over').waitFor()
  })
})

test('a limit that cannot be extended is not offered, and refused', async ({ openPage }) => {
  const page = await openAs(openPage, server.administrator, `/samples/${rested}?record=extended`)
  const offered = page.getByRole('combobox', { name: 'Limit' }).getByRole('option')
  expect(await offered.allTextContents()).not.toContain('cut to chamber')
  expect(await offered.allTextContents()).toContain('rest')
  const untilDate = new Date(Date.now() + 30 * DAY).toISOString().slice(0, 10)
  const extension = { kind: 'extended', limit: 'cut to chamber', untilDate, reason: 'snow', sample: rested }
  const { status, answer } = await recordAs(server, server.administrator, extension)
  expect([status, answer.detail]).toEqual([422, 'This limit cannot be extended.'])
})
