import type { Page } from 'playwright-core'
import { beforeAll, describe, expect } from 'vitest'
import { formatKitCode } from '@/lib/custody/kitCode'
import { readMain, browserTest as test, visitAs } from '@/tests/setup/browser'
import { openSharedServer } from '@/tests/setup/sharedServer'
import type { ServedProgramme } from '../setup/signIn'
import { KITS, startSmallProgramme } from './pagesProgramme'

let server: ServedProgramme
let empty: ServedProgramme
beforeAll(async () => {
  server = await startSmallProgramme()
  visitAs(server.administrator, server.address)
  empty = await openSharedServer('empty')
})

const samples = (page: Page) => page.locator('[data-sample]').allTextContents()
const code = formatKitCode

describe('the board', () => {
  test('says how many need someone, which first, and shows the most pressing first', async ({ page }) => {
    await page.goto(server.address)
    expect(await page.locator('h1').textContent()).toBe('Three samples need someone today.')
    expect(await readMain(page)).toContain(
      `To be replaced: ${code(KITS.lapsed)} of A plant · lapsed 12 hours ago`,
    )
    expect(await readMain(page)).toContain(`Save first: ${code(KITS.atRisk)} of A plant · at risk: 23 hours`)
    expect(await readMain(page)).toContain('1 event matches no sample.')
    expect(await samples(page)).toEqual(
      [KITS.atRisk, KITS.tight, KITS.lapsed, KITS.sound, KITS.unused].map(code),
    )
  })

  test('filters as one types, keeps the focus, and has the filter in its address, also on the way back', async ({
    page,
  }) => {
    await page.goto(server.address)
    await page.keyboard.press('/')
    await page.keyboard.type(KITS.tight.toLowerCase())
    // A part of the code is enough to leave one sample; the address follows to the end.
    await expect.poll(() => new URL(page.url()).search).toBe(`?search=${KITS.tight.toLowerCase()}`)
    await expect.poll(() => samples(page)).toEqual([code(KITS.tight)])
    expect(await page.evaluate(() => document.activeElement?.getAttribute('name'))).toBe('search')
    await page.locator('[data-sample]').click()
    await page.waitForURL('**/samples/*')
    await page.goBack()
    await expect.poll(() => samples(page)).toEqual([code(KITS.tight)])
    expect(await page.locator('input[name=search]').inputValue()).toBe(KITS.tight.toLowerCase())
  })

  test('filters without scripts too', async ({ openPage }) => {
    const page = await openPage({ javaScriptEnabled: false })
    await page.goto(server.address)
    await page.selectOption('select[name=group]', 'at risk')
    await page.click('main button[type=submit]')
    await page.waitForURL(/group=at/)
    await expect.poll(() => samples(page)).toEqual([code(KITS.atRisk)])
  })

  test('goes from sample to sample by the arrow keys', async ({ page }) => {
    await page.goto(server.address)
    // Tried again until the page's scripts run, which is after its rows are there.
    const walked = async () => {
      await page.locator('[data-sample]').first().focus()
      for (const key of ['ArrowDown', 'ArrowDown', 'ArrowUp']) await page.keyboard.press(key)
      return page.evaluate(() => document.activeElement?.textContent)
    }
    await expect.poll(walked).toBe(code(KITS.tight))
  })

  test('with nothing in a filter offers to clear it; with nothing sent says how to send', async ({
    page,
  }) => {
    await page.goto(`${server.address}/?search=nowhere`)
    await page.click('text=Clear it')
    await expect.poll(async () => (await samples(page)).length).toBe(5)
    // Browsers keep cookies by name of the machine, whatever the port.
    await empty.administrator.addTo(page.context(), empty.address)
    await page.goto(empty.address)
    expect(await readMain(page)).toContain('npm run load -- register.json events.ndjson')
    await page.goto(`${empty.address}/unplaced`)
    expect(await page.locator('h1').textContent()).toBe('There are no events yet.')
  })
})

describe('a sample', () => {
  test('shows the calculation of its due, and a report that was taken out struck through', async ({
    page,
  }) => {
    await page.goto(`${server.address}/samples/${code(KITS.lapsed).toLowerCase()}`)
    expect(await page.title()).toBe(`${code(KITS.lapsed)}, lapsed · Holdfast`)
    expect(await readMain(page)).toMatch(
      /Startcut [^+]* Lisbon\s*Calculation[^+]* \+ 10 × 24 hours = [^+]* Lisbon/,
    )
    expect(await page.locator('tr:has(s)').textContent()).toContain('withdrawn or corrected by desk/no slip')
    expect(await readMain(page)).toContain('Issue a kit to replace it')
  })

  test('that is not there is a 404, and says what the code is', async ({ openPage }) => {
    const page = await openPage({ expectedErrors: [/404/] })
    const slip = `${KITS.sound.slice(0, -1)}${KITS.sound.endsWith('A') ? 'B' : 'A'}`
    const response = await page.goto(`${server.address}/samples/${slip}`)
    expect(response?.status()).toBe(404)
    expect(await readMain(page)).toContain('Its check character is wrong')
    expect((await page.goto(`${server.address}/plants/none`))?.status()).toBe(404)
    expect(await readMain(page)).toContain('No plant has this code.')
  })
})

test('an event that matched no sample and was corrected stays visible, with what took it out', async ({
  page,
}) => {
  await page.goto(`${server.address}/unplaced`)
  expect(await page.locator('h1').textContent()).toBe('One event matches no sample.')
  const right = page.locator('section', { has: page.getByRole('heading', { name: 'Corrected since' }) })
  expect(await right.locator('> ul > li').allTextContents()).toEqual([
    expect.stringMatching(
      /^cut .+, reported by desk\/unknown\. Withdrawn or corrected by:desk\/not unknown \(report withdrawn of /,
    ),
  ])
  expect(await right.getByRole('link').getAttribute('href')).toBe(`/samples/${KITS.sound}`)
  await page.goto(`${server.address}/unplaced?search=nothing+like+it`)
  expect(await right.count()).toBe(0)
})

describe('a link', () => {
  test('within a page leaves the way back right, and the keyboard where it leads', async ({ page }) => {
    await page.goto(server.address)
    await page.getByText('Skip to the content').focus()
    await page.keyboard.press('Enter')
    await page.waitForURL('**/#content')
    await expect
      .poll(() => page.evaluate(() => document.activeElement?.id), { timeout: 5_000 })
      .toBe('content')
    await page.click('nav >> text=Lanes')
    await page.waitForURL('**/lanes')
    await page.goBack()
    await page.waitForURL('**/#content')
    await expect.poll(() => page.locator('h1').textContent()).toBe('Three samples need someone today.')
  })

  test('says that its page is being read, when that takes a while', async ({ page }) => {
    let answer = () => {}
    const isTime = new Promise<void>((resolve) => {
      answer = resolve
    })
    await page.route('**/setup/plants*', async (route) => {
      await isTime
      await route.continue()
    })
    await page.goto(`${server.address}/setup`, { waitUntil: 'networkidle' })
    await page.click('main a[href="/setup/plants"]')
    await page.locator('main a[href="/setup/plants"]', { hasText: 'loading …' }).waitFor()
    answer()
    await page.waitForURL('**/setup/plants')
  })
})

test('every page has one main heading, headings in order, named fields and a title', async ({ page }) => {
  for (const path of ['/', '/plants/PL1', '/plants/PL1/history', `/samples/${KITS.atRisk}`, '/unplaced']) {
    await page.goto(`${server.address}${path}`)
    const found = await page.evaluate(() => {
      const levels = [...document.querySelectorAll('h1, h2, h3, h4')].map((one) => Number(one.tagName[1]))
      return {
        mains: document.querySelectorAll('main').length,
        firsts: levels.filter((level) => level === 1).length,
        skips: levels.filter((level, index) => level > (levels[index - 1] ?? 0) + 1),
        unnamed: [...document.querySelectorAll('input:not([type=hidden]), select')].filter(
          (one) => (one as HTMLInputElement).labels?.length !== 1,
        ).length,
        tables: [...document.querySelectorAll('table')].filter((one) => !one.caption?.textContent).length,
        wider: document.documentElement.scrollWidth > window.innerWidth,
      }
    })
    expect(found, path).toEqual({ mains: 1, firsts: 1, skips: [], unnamed: 0, tables: 0, wider: false })
    expect(await page.title(), path).toMatch(/.+ · Holdfast$/)
  }
})
