import type { Page } from 'playwright-core'
import { beforeAll, describe, expect } from 'vitest'
import { formatKitCode } from '@/lib/custody/kitCode'
import { browserTest as test, visitAs } from '@/tests/setup/browser'
import type { ServedProgramme } from '../setup/signIn'
import { KITS, send, startSmallProgramme } from './pagesProgramme'

let server: ServedProgramme
beforeAll(async () => {
  server = await startSmallProgramme()
  visitAs(server.administrator, server.address)
})

const samples = (page: Page) => page.locator('[data-sample]').allTextContents()

/** Looks away and back, upon which the page asks again (once what it has is older than a few seconds). */
async function refresh(page: Page): Promise<void> {
  await page.waitForTimeout(5_100)
  await page.evaluate(() => document.dispatchEvent(new Event('visibilitychange', { bubbles: true })))
}

describe('a board that stays open', () => {
  test('takes in what is reported, and moves no rows under the pointer until asked or let go', async ({
    openPage,
  }) => {
    const page = await openPage()
    const report = async (kit: string) => {
      const event = {
        source: 'office',
        id: kit,
        sample: kit,
        kind: 'cancelled',
        at: new Date().toISOString(),
      }
      await send(server, 'POST', '/api/events', event)
      await refresh(page)
    }
    await page.goto(server.address)
    const before = await samples(page)
    const without = (...kits: string[]) => before.filter((code) => !kits.map(formatKitCode).includes(code))
    await page.locator('[data-sample]').nth(3).hover()
    await report(KITS.tight)
    const ask = page.getByRole('button', { name: 'Show 1 change' })
    await ask.waitFor()
    expect(await samples(page)).toEqual(before)
    await ask.hover()
    await page.waitForTimeout(300)
    expect(await samples(page)).toEqual(before)
    await ask.click()
    await expect.poll(() => samples(page)).toEqual(without(KITS.tight))

    await page.mouse.move(0, 0)
    await report(KITS.atRisk)
    await expect.poll(() => samples(page)).toEqual(without(KITS.tight, KITS.atRisk))

    await page.locator('[data-sample]').first().focus()
    await report(KITS.sound)
    await ask.waitFor()
    await page.keyboard.press('Shift+Tab')
    await page.keyboard.press('Enter')
    await expect.poll(() => samples(page)).toEqual(without(KITS.tight, KITS.atRisk, KITS.sound))
  })

  test('says when the server is lost and from when its data are, and when it is back says nothing', async ({
    openPage,
  }) => {
    const page = await openPage({ expectedErrors: [/ERR_FAILED/], timezoneId: 'Europe/Lisbon' })
    await page.goto(server.address)
    await page.route('**/api/**', (route) => route.abort())
    await refresh(page)
    const notice = page.getByRole('status').filter({ hasText: 'No answer' })
    await notice.waitFor()
    expect(await notice.textContent()).toMatch(
      /since \w+ \d+ \w+ \d\d:\d\d Lisbon\. The page shows what was known at/,
    )
    const known = await samples(page)
    expect(known.length).toBeGreaterThan(0)
    await page.locator('[data-sample]').first().click()
    await notice.filter({ hasText: 'No other page can be opened until the server answers.' }).waitFor()
    expect(await samples(page)).toEqual(known)
    await page.unroute('**/api/**')
    await refresh(page)
    await notice.waitFor({ state: 'detached' })
  })
})
