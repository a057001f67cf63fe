import axe from 'axe-core'
import { beforeAll, expect } from 'vitest'
import { browserTest as test } from '@/tests/setup/browser'
import { openSharedServer } from '@/tests/setup/sharedServer'
import type { ServedProgramme } from '../setup/signIn'
import { getPageAddress, PAGES } from './pageAddresses'

let server: ServedProgramme
beforeAll(async () => {
  server = await openSharedServer('everyPage')
})

const LOOKS = [
  { width: 1440, colorScheme: 'light' },
  { width: 390, colorScheme: 'dark' },
] as const

test.for(PAGES)(
  'axe finds nothing on %s, wide and light, and narrow and dark',
  async (name, { openPage }) => {
    const page = await openPage({ viewport: { width: LOOKS[0].width, height: 900 } })
    if (!name.startsWith('page /sign-in')) await server.administrator.addTo(page.context(), server.address)
    const response = await page.goto(await getPageAddress(server, name))
    expect(response?.status()).toBe(200)
    await page.locator('main h1').first().waitFor()
    // Evaluated by the debugger, which the content-security policy lets in, as it lets in no script of a page.
    await page.evaluate(axe.source)
    // Off unless asked for: what is pressed is 24 pixels high or has as much room, WCAG 2.2 SC 2.5.8.
    const rules = { 'target-size': { enabled: true } }
    for (const { width, colorScheme } of LOOKS) {
      await page.setViewportSize({ width, height: 900 })
      await page.emulateMedia({ colorScheme })
      const { violations } = await page.evaluate(
        (asked) => (window as unknown as { axe: typeof axe }).axe.run({ rules: asked }),
        rules,
      )
      const found = violations.map(({ id, nodes }) => [id, nodes.map(({ html }) => html.slice(0, 120))])
      expect(found, `at ${width} pixels, ${colorScheme}`).toEqual([])
    }
  },
)
