import type { Page } from 'playwright-core'
import { beforeAll, describe, expect } from 'vitest'
import { readMain, browserTest as test } from '@/tests/setup/browser'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { launchCommand } from '@/tests/setup/launcher'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'

let database: TestDatabase
let server: TestServer
let administrator: SignedIn
beforeAll(async () => {
  database = await makeTestDatabase()
  server = await startTestServer(database.url)
  administrator = await signInAs(database, ADMINISTRATOR)
})

const press = (page: Page, name: string) => page.getByRole('button', { name, exact: true }).click()
const follow = (page: Page, name: string | RegExp) =>
  page.getByRole('main').getByRole('link', { name }).click()

async function fill(page: Page, fields: Record<string, string>): Promise<void> {
  for (const [label, value] of Object.entries(fields)) {
    const field = page.getByLabel(label, { exact: true })
    if ((await field.evaluate((element) => element.tagName)) === 'SELECT') await field.selectOption(value)
    else await field.fill(value)
  }
}

/** The sign-in link that `npm run admin` prints for the first administrator. */
async function getFirstAdministratorLink(): Promise<string> {
  const variables = { DATABASE_URL: database.url, HOLDFAST_URL: server.address }
  const admin = launchCommand('admin', ['first@example.org'], variables)
  expect(await admin.ended, admin.output()).toBe(0)
  return /http\S+/.exec(admin.output())?.[0] ?? ''
}

describe('a programme set up from nothing', () => {
  test('without scripts, from the empty board to the first sample on it', async ({ openPage }) => {
    const page = await openPage({ javaScriptEnabled: false })
    const begunAt = Date.now()
    await page.goto(await getFirstAdministratorLink())
    await press(page, 'Sign in here')
    await follow(page, 'set-up')
    expect(await readMain(page)).toContain('No laboratory yet. Start with one')

    await follow(page, 'Add a laboratory')
    await fill(page, {
      Code: 'NORTH',
      Name: 'North chamber',
      'Time zone': 'America/New_York',
      Monday: '8:00-16:30',
    })
    await fill(page, { Tuesday: '08:00-12:00, 13:00-16:30', Wednesday: '08:00-16:30' })
    await fill(page, { 'Public holidays, one rule per line': 'Harvest: last Mo of May' })
    await press(page, 'Save')
    expect(await readMain(page)).toContain('“Harvest: last Mo of May” is not a rule.')
    expect(await page.getByLabel('Name', { exact: true }).inputValue()).toBe('North chamber')
    await fill(page, { 'Public holidays, one rule per line': 'Harvest: last Monday of May' })
    await fill(page, { 'Other closed days, one per line': '2026-12-24 to 2026-12-31', Year: '2026' })
    await press(page, 'Show the year')
    expect(await readMain(page)).toContain('25 Harvest')
    expect(await readMain(page)).toContain('28 to 30 closed')
    await press(page, 'Save')
    expect(await readMain(page)).toContain('Saved: NORTH.')
    expect(await readMain(page)).toContain('Tue 08:00-12:00, 13:00-16:30')

    await page.goto(`${server.address}/setup/add/plants`)
    await fill(page, { Code: 'MILL', Name: 'Mill by the river', 'Time zone': 'Europe/Nowhere' })
    await press(page, 'Save')
    expect(await readMain(page)).toContain('Enter a zone of the IANA time zone database')
    await fill(page, { 'Time zone': 'Europe/Lisbon' })
    await press(page, 'Save')
    expect(await readMain(page)).toContain('Saved: MILL.')

    await page.goto(`${server.address}/setup/add/services`)
    await fill(page, { Code: 'road', Name: 'By road' })
    await press(page, 'Save')

    await page.goto(`${server.address}/setup/add/protocols`)
    await fill(page, { Code: 'FLOOR', Name: 'Floor coverings', 'Limit 1: name': 'cut to chamber' })
    const first = page.getByRole('group', { name: /^Hold limits/ })
    await first.getByLabel('From').first().selectOption('collected')
    await first.getByLabel('Until').first().selectOption('loaded')
    await first.getByLabel('At most').first().fill('10')
    await first.getByLabel('Counted in').first().selectOption('working days of the laboratory')
    await fill(page, { 'Start, local time': '2026-10-30T16:10' })
    await press(page, 'Calculate')
    expect(await readMain(page)).toContain(
      'cut to chamber: cut on Friday 30 October, 16:10 in Lisbon, to be in',
    )
    await press(page, 'Save')
    expect(await readMain(page)).toContain('Saved: FLOOR.')

    await page.goto(`${server.address}/setup/add/products`)
    await fill(page, { Code: 'CORK', Name: 'Cork tile', Plant: 'MILL', Protocol: 'FLOOR' })
    await press(page, 'Save')
    expect(await readMain(page)).toContain('Saved: CORK.')

    await page.goto(`${server.address}/setup`)
    await follow(page, 'Issue kits')
    await fill(page, { Plant: 'MILL', Product: 'CORK', Laboratory: 'NORTH', 'How many': '3' })
    await press(page, 'Issue kits')
    expect(await readMain(page)).toContain('3 kits issued')
    await follow(page, 'Print their labels')
    expect(await page.locator('article').count()).toBe(3)
    expect(await readMain(page)).toContain('Sharp blades')

    await page.goto(server.address)
    expect(await page.locator('[data-sample]').count()).toBe(3)
    expect(Date.now() - begunAt).toBeLessThan(10 * 60_000)
    expect((await page.goto(`${server.address}/setup`))?.status()).toBe(200)
    expect(await readMain(page)).toContain('Your programme is fully set up.')
  })

  test('previews the effect of a calendar change, and records who applied it', async ({ page }) => {
    await administrator.addTo(page.context(), server.address)
    await page.goto(`${server.address}/setup/kits`)
    const code = ((await page.locator('tbody th a').first().textContent()) ?? '').replace('-', '')
    await fetch(`${server.address}/api/events`, {
      method: 'POST',
      headers: { ...administrator.headers, 'content-type': 'application/json' },
      body: JSON.stringify({
        source: 'mill',
        id: '1',
        sample: code,
        kind: 'collected',
        at: new Date().toISOString(),
      }),
    })
    await page.goto(`${server.address}/setup/laboratories/NORTH`)
    await fill(page, { Monday: '' })
    await press(page, 'Save')
    await page.waitForURL('**/setup/changes/*')
    expect(await readMain(page)).toContain('1 sample changes')
    expect(await readMain(page)).toMatch(/cut to chamber: due .+ New York → .+ New York/)
    await press(page, 'Apply change')
    await page.waitForURL('**/setup/laboratories?*')
    expect(await readMain(page)).not.toContain('Mon 08:00')
    const { rows } = await database.owner.query(
      "select who, what, subject from audit_entry where what = 'changed a laboratory'",
    )
    expect(rows).toEqual([
      { who: `person ${administrator.personId}`, what: 'changed a laboratory', subject: 'NORTH' },
    ])
  })

  test('imports a CSV, refuses single lines with a reason, and exports it', async ({ page }) => {
    await administrator.addTo(page.context(), server.address)
    await page.goto(`${server.address}/setup/csv/plants`)
    await fill(page, {
      'Paste it here':
        'code,name,zone\nDOCK,By the dock,Asia/Kolkata\nBAD,Nowhere,Mars/Base\nMILL,Old mill,Europe/Lisbon',
    })
    await press(page, 'Review changes')
    await page.waitForURL('**/setup/changes/*')
    expect(await readMain(page)).toContain('Line 3: Column zone: Enter a zone')
    expect(await readMain(page)).toContain('name: Mill by the river → Old mill')
    await press(page, 'Apply change')
    await page.waitForURL('**/setup/plants?*')
    const csv = await page.request.get(`${server.address}/api/setup/csv?list=plants`, {
      headers: { 'sec-fetch-site': 'same-origin' },
    })
    expect(await csv.text()).toBe(
      [
        '"code","name","maker","zone","workdays"',
        '"DOCK","By the dock",,"Asia/Kolkata",',
        '"MILL","Old mill",,"Europe/Lisbon",',
        '',
      ].join('\r\n'),
    )
  })

  test('adds people with their roles, and keeps the last administrator', async ({ page }) => {
    // The administrator that the command added has left, so this one is the last.
    await database.owner.query("update person set left_at = now() where email = 'first@example.org'")
    await administrator.addTo(page.context(), server.address)
    await page.goto(`${server.address}/setup/people`)
    await fill(page, { 'E-mail': 'Desk@example.org', Name: 'A desk', 'Time zone': 'America/New_York' })
    await page.getByLabel('Receiving desk of North chamber (NORTH)').check()
    await press(page, 'Add')
    expect(await readMain(page)).toContain('A desk, receiving desk of NORTH')
    await page.goto(`${server.address}/setup/people/${administrator.personId}`)
    await page.getByLabel('Administrator: everything').uncheck()
    await press(page, 'Save')
    await page.waitForURL('**/setup/people/*?*')
    expect(await readMain(page)).toContain('This is the last administrator')
  })

  test('has an office calendar, and keeps what was typed if it is refused', async ({ openPage }) => {
    const page = await openPage({ javaScriptEnabled: false })
    await administrator.addTo(page.context(), server.address)
    await page.goto(`${server.address}/setup`)
    await follow(page, 'Office calendar')
    expect(await page.getByLabel('Time zone').inputValue()).toBe('America/New_York')
    const closed = 'Days when the office is closed, one per line'
    await fill(page, { 'Time zone': 'Europe/Lisbon', [closed]: '2026-12-24 to 2026-12-31' })
    const days = page.getByRole('checkbox')
    expect(await page.getByRole('checkbox', { checked: true }).count()).toBe(5)
    for (const day of await days.all()) await day.uncheck()
    await press(page, 'Save')
    expect(await readMain(page)).toContain('Choose at least one weekday.')
    expect(await page.getByLabel(closed).inputValue()).toBe('2026-12-24 to 2026-12-31')
    for (const day of ['Monday', 'Tuesday', 'Sunday']) await page.getByLabel(day).check()
    await press(page, 'Save')
    expect(await readMain(page)).toContain('Saved.')
    const { rows } = await database.owner.query('select zone, weekdays, closed[8]::text as last from office')
    expect(rows).toEqual([{ zone: 'Europe/Lisbon', weekdays: [1, 2, 7], last: '2026-12-31' }])
  })

  test('refuses the second of two who add the same code at the same time', async () => {
    const codes = ['barge', 'rail', 'van', 'bike', 'drone']
    const led = await Promise.all(
      codes
        .flatMap((code) => ['Ours', 'Theirs'].map((name) => ({ code, name })))
        .map(async (service) => {
          const sent = await fetch(`${server.address}/api/setup/entries`, {
            method: 'POST',
            headers: { ...administrator.headers, 'content-type': 'application/x-www-form-urlencoded' },
            body: new URLSearchParams({ list: 'services', isNew: 'yes', ...service }),
            redirect: 'manual',
          })
          return sent.headers.get('location')?.replace(/draft=.*/, 'draft') ?? ''
        }),
    )
    expect(led.toSorted()).toEqual([
      ...codes.map(() => '/setup/add/services?draft'),
      ...codes.map((code) => `/setup/services?entered=${code}`).toSorted(),
    ])
  })

  test('is only for administrators', async ({ openPage }) => {
    const page = await openPage({ expectedErrors: [/404/] })
    const contact = await signInAs(database, { plants: ['MILL'] })
    await contact.addTo(page.context(), server.address)
    expect((await page.goto(`${server.address}/setup/plants`))?.status()).toBe(404)
    const sent = await fetch(`${server.address}/api/setup/entries`, {
      method: 'POST',
      headers: { ...contact.headers, 'content-type': 'application/x-www-form-urlencoded' },
      body: 'list=services&code=sea&name=Sea&isNew=yes',
    })
    expect(sent.status).toBe(403)
  })
})
