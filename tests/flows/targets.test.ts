import type { Page } from 'playwright-core'
import { beforeAll, describe, expect } from 'vitest'
import { browserTest as test } from '@/tests/setup/browser'
import { makeTestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { send } from './pagesProgramme'
import { settlingProgramme } from './settlingProgramme'

let server: TestServer & { administrator: SignedIn }
beforeAll(async () => {
  const database = await makeTestDatabase()
  const started = await startTestServer(database.url)
  server = { ...started, administrator: await signInAs(database, ADMINISTRATOR) }
  const { register, events } = settlingProgramme(Date.now())
  await send(server, 'PUT', '/api/register', register)
  await send(server, 'POST', '/api/events', events)
})

/** WCAG 2.2 SC 2.5.8, level AA: https://www.w3.org/TR/WCAG22/#target-size-minimum, in CSS pixels. */
const LEAST = 24

/** How high each thing on the page can be pressed at its middle, by what it says; what is folded away is left out. */
const heights = (page: Page) =>
  page.evaluate((enough) => {
    const found: [words: string, height: number][] = []
    for (const one of document.querySelectorAll('a, button, summary, select, input:not([type="hidden"])')) {
      one.scrollIntoView({ block: 'center' })
      const box = one.getClientRects()[0]
      if (!box || one.classList.contains('unseen')) continue
      const isHit = (y: number) => {
        const there = document.elementFromPoint(box.left + Math.min(box.width / 2, 16), y)
        return there !== null && one.contains(there)
      }
      const middle = box.top + box.height / 2
      if (!isHit(middle)) continue
      const reach = (step: 1 | -1) => {
        let far = 0
        while (far < enough && isHit(middle + step * (far + 1))) far += 1
        return far
      }
      found.push([(one.textContent || one.getAttribute('name') || '').trim(), 1 + reach(1) + reach(-1)])
    }
    return found
  }, LEAST)

describe.each([1440, 390])('at %i pixels', (width) => {
  test.for([
    ['the board', '/'],
    ['a plant', '/plants/PL1'],
    ['a plant’s settled samples', '/plants/PL1/history'],
    ['what is due', '/due'],
    ['what is to be received', '/receiving'],
  ] as const)('whatever can be pressed on the page of %s is high enough', async ([, path], { openPage }) => {
    const page = await openPage({
      viewport: { width, height: 900 },
      as: { who: server.administrator, address: server.address },
    })
    await page.goto(server.address + path)
    await page.locator('main h1').first().waitFor()
    const all = await heights(page)
    expect(all.length).toBeGreaterThan(20)
    expect(all.filter(([, height]) => height < LEAST)).toEqual([])
  })
})
