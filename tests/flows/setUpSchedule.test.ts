import type { Page } from 'playwright-core'
import { beforeAll, describe, expect } from 'vitest'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { smallRegister } from '@/tests/cases/smallProgramme'
import { readMain, browserTest as test } from '@/tests/setup/browser'
import { makeTestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { send } from './pagesProgramme'

let server: TestServer & { administrator: SignedIn }
beforeAll(async () => {
  const database = await makeTestDatabase()
  const started = await startTestServer(database.url)
  server = { ...started, administrator: await signInAs(database, ADMINISTRATOR) }
  const felt = ['FELT', 'FELT6', 'FELT9'].map((code) => ({
    code,
    plant: 'PL1',
    name: `Felt tile ${code}`,
    protocol: 'TEN',
  }))
  const cork = { code: 'CORK', plant: 'PL2', name: 'Cork underlay', protocol: 'TEN' }
  await send(server, 'PUT', '/api/register', smallRegister({ products: [...felt, cork], kits: [] }))
})

/** The register as it is now. */
const fetchRegister = async () =>
  (await (
    await fetch(`${server.address}/api/register`, { headers: server.administrator.headers })
  ).json()) as RegisterDocument

/** Presses a button and waits for the next page. */
async function press(page: Page, name: string): Promise<void> {
  const loaded = page.waitForEvent('load')
  await page.getByRole('button', { name, exact: true }).click()
  await loaded
}

/**
 * Fills fields by their labels like a browser without date fields and validation, so that the server has to check them.
 */
async function fill(page: Page, fields: Record<string, string>): Promise<void> {
  for (const [label, value] of Object.entries(fields)) {
    const field = page.getByLabel(label, { exact: true })
    const isChosen = await field.evaluate((element) => {
      for (const form of document.forms) form.noValidate = true
      if ((element as HTMLInputElement).type === 'date') (element as HTMLInputElement).type = 'text'
      return element.tagName === 'SELECT'
    })
    if (isChosen) await field.selectOption(value)
    else await field.fill(value)
  }
}

/** The value and the fault of each wrong field, by its label. */
const readFaults = (page: Page) =>
  page.evaluate(() =>
    Object.fromEntries(
      [...document.querySelectorAll<HTMLInputElement>('main [aria-invalid]')].map((field) => {
        const beside = document.getElementById(field.getAttribute('aria-describedby') ?? '')
        const called = document.getElementById(field.getAttribute('aria-labelledby') ?? '')
        return [called?.textContent ?? '', [field.value, beside?.firstChild?.textContent ?? '']]
      }),
    ),
  )

const NO_DATE = 'Enter a date that exists, such as 2026-11-26.'

describe('the testing schedule, entered without scripts and with a mistake first', () => {
  const open = async (openPage: (options: object) => Promise<Page>, path: string) => {
    const as = { who: server.administrator, address: server.address }
    const page = await openPage({ javaScriptEnabled: false, as })
    await page.goto(`${server.address}${path}`)
    return page
  }

  test('a family of three products, one tested for all', async ({ openPage }) => {
    const page = await open(openPage, '/setup/add/families')
    await page.getByText('Products without a family').click()
    expect(await readMain(page)).toContain('FELT9 Felt tile FELT9 (PL1)')
    const members = 'FELT\nFELT6\nFELT7'
    await fill(page, { Code: 'TILES', Name: 'Felt tiles', Members: members, 'Tested member': 'CORK' })
    await press(page, 'Save')
    expect(await readFaults(page)).toEqual({
      Members: [members, 'No product has the code “FELT7”.'],
      'Tested member': ['CORK', '“CORK” is not a member. The tested product has to be a member.'],
    })
    expect(await page.getByLabel('Name', { exact: true }).inputValue()).toBe('Felt tiles')
    await fill(page, { Members: 'FELT\nFELT6\nFELT9', 'Tested member': 'FELT6' })
    await press(page, 'Save')
    expect(await readMain(page)).toContain('Saved: TILES.')
  })

  test('a certificate with the day on which it expires', async ({ openPage }) => {
    const page = await open(openPage, '/setup/add/certificates')
    await fill(page, { Code: 'N 1', Issued: '2026-02-30', Expires: 'next year' })
    await press(page, 'Save')
    expect(await readFaults(page)).toEqual({
      Issued: ['2026-02-30', NO_DATE],
      Expires: ['next year', NO_DATE],
    })
    await fill(page, { Issued: '2026-02-03', Expires: '2026-02-02' })
    await press(page, 'Save')
    expect(await readFaults(page)).toEqual({
      'For the product': ['', 'Name the product or the family that it is for.'],
      Expires: ['2026-02-02', 'It expires before it was issued. Check both dates.'],
    })
    await fill(page, { 'For the product': 'CORK', Expires: '2026-03-02' })
    await press(page, 'Save')
    expect(await readMain(page)).toContain('Saved: N 1.')
    expect(await readMain(page)).toContain('Cork underlay2026-02-032026-03-02, expired')
  })

  test('a scheduled test: first once, then every twelve months with a window', async ({ openPage }) => {
    const page = await open(openPage, '/setup/add/duties')
    const counts = {
      'Kit delivery (days)': '4',
      'Receipt to chamber (working days)': '2',
      'In the chamber (days)': '14',
      'End of test to report (working days)': '5',
    }
    await fill(page, { Code: 'yearly', 'First report due': '2027-13-01', ...counts })
    await fill(page, { 'Repeat every (months)': 'a year', 'Window (days)': '10' })
    await press(page, 'Save')
    expect(await readFaults(page)).toMatchObject({
      'First report due': ['2027-13-01', NO_DATE],
      'Repeat every (months)': ['a year', 'Enter a whole number from 1 to 120.'],
    })
    await fill(page, { 'First report due': '2027-02-01', 'Repeat every (months)': '12' })
    await press(page, 'Save')
    expect(await readFaults(page)).toMatchObject({
      'For the product': ['', 'Name the product or the family that it is for.'],
      'Window (days)': ['10', expect.stringContaining('Enter 25 or more')],
    })
    await fill(page, { 'or for the family': 'TILES', 'Window (days)': '400' })
    await press(page, 'Save')
    expect(await readFaults(page)).toEqual({
      'Window (days)': ['400', expect.stringContaining('Enter 336 or less')],
    })
    await fill(page, { 'Window (days)': '90' })
    await press(page, 'Show the dates')
    await page.getByText('Later reports are due by 2028-02-29 and 2029-02-28.').waitFor()
    expect(await readMain(page)).toContain('It is not known yet how long this lane takes')
    expect(await readMain(page)).toMatch(/Issue the report on Felt tile FELT6 by Mon 1 Feb.* in New York/)
    await press(page, 'Save')
    expect(await readMain(page)).toContain('Saved: yearly.')
    expect(await readMain(page)).toContain('every 12 months')
  })

  test('a plant’s workdays and a shutdown', async ({ openPage }) => {
    const page = await open(openPage, '/setup/plants/PL1')
    const days = page.getByRole('checkbox')
    for (const day of await days.all()) await day.uncheck()
    await press(page, 'Save')
    expect(await readMain(page)).toContain('A plant works on at least one weekday')
    expect(await page.getByRole('checkbox', { checked: true }).count()).toBe(0)
    for (const day of ['Monday', 'Thursday']) await page.getByLabel(day).check()
    await press(page, 'Save')
    expect((await fetchRegister()).plants.find(({ code }) => code === 'PL1')?.workdays).toEqual([
      'mon',
      'thu',
    ])
    await page.goto(`${server.address}/setup/plants/PL1`)
    for (const day of ['Tuesday', 'Wednesday', 'Friday']) await page.getByLabel(day).check()
    await press(page, 'Save')
    // The usual ones are left out of the register.
    expect((await fetchRegister()).plants.find(({ code }) => code === 'PL1')?.workdays).toBeUndefined()

    await page.goto(`${server.address}/setup/add/shutdowns`)
    await fill(page, { Plant: 'PL1', 'First day': '2026-12-24', 'Last day': '2026-12-01', Reason: 'Repair' })
    await press(page, 'Save')
    expect(await readFaults(page)).toEqual({
      'Last day': ['2026-12-01', 'It ends before it begins. Check both days.'],
    })
    await fill(page, { 'Last day': '2027-01-03' })
    await press(page, 'Save')
    expect(await readMain(page)).toContain('Saved: PL1 from 2026-12-24.')
    await page.goto(`${server.address}/setup/add/shutdowns`)
    await fill(page, { Plant: 'PL1', 'First day': '2026-12-24' })
    await press(page, 'Save')
    expect(await readFaults(page)).toEqual({
      'First day': [
        '2026-12-24',
        expect.stringContaining('already begins on this day; change that one instead.'),
      ],
    })
  })

  test('kits that are not posted yet, and one of them posted', async ({ openPage }) => {
    const page = await open(openPage, '/setup/add/kits')
    await fill(page, { Product: 'FELT', Posted: 'on', Laboratory: 'LAB', 'How many': '2', Replaces: 'ABCD' })
    await press(page, 'Issue kits')
    expect(await readFaults(page)).toEqual({
      'Day posted': ['', 'Enter the day it was posted.'],
    })
    await fill(page, { Posted: 'not yet' })
    await press(page, 'Issue kits')
    // The same fault of two kits is shown once.
    expect(await readFaults(page)).toEqual({ Plant: ['', 'Choose one.'] })
    await fill(page, { Plant: 'PL2' })
    await press(page, 'Issue kits')
    expect(await readFaults(page)).toEqual({
      Product: ['FELT', 'Plant “PL1” makes the product “FELT”, but the kit is for plant “PL2”.'],
      Replaces: ['ABCD', 'No kit has the code “ABCD”.'],
    })
    expect(await page.getByLabel('Posted', { exact: true }).inputValue()).toBe('not yet')
    await fill(page, { Plant: 'PL1', Replaces: '' })
    await press(page, 'Issue kits')
    expect(await readMain(page)).toContain('2 kits issued')
    expect((await fetchRegister()).kits.map(({ posted }) => posted)).toEqual(['not yet', 'not yet'])

    const code = (await fetchRegister()).kits[0]?.code
    await page.goto(`${server.address}/setup/kits/${code}`)
    expect(await readMain(page)).toContain('This kit has not been posted yet.')
    await page.getByRole('link', { name: 'Open the sample' }).click()
    await page.getByText('and has not been posted yet').waitFor()
    await page.goBack()
    await fill(page, { 'Day posted': '2026-11-26' })
    await press(page, 'Save')
    expect(await readFaults(page)).toEqual({
      Posted: ['not yet', 'Choose “on this day”, or leave the day empty.'],
    })
    expect(await page.getByLabel('Day posted').inputValue()).toBe('2026-11-26')
    await fill(page, { Posted: 'on' })
    await press(page, 'Save')
    expect((await fetchRegister()).kits.map(({ posted }) => posted).sort()).toEqual(['2026-11-26', 'not yet'])
  })
})
