import { mkdir } from 'node:fs/promises'
import { join } from 'node:path'
import { chromium } from 'playwright-core'
import { getBoard } from '@/lib/store/read/board'
import { loadDemo } from '@/prisma/demo/load'
import { withEngine } from '@/tests/bench/benchServer'
import { startBrowser } from '@/tests/setup/browserLaunch'
import { ADMINISTRATOR, signInAs } from '@/tests/setup/signIn'

/** `npm run pictures`: takes the README's pictures anew, of a demo made now. */
const folder = 'public/pictures'

const MARGIN = 24

/** A part of a page with some paper around it. */
function around({ x, y, width, height }: { x: number; y: number; width: number; height: number }) {
  return { x: x - MARGIN, y: y - MARGIN, width: width + 2 * MARGIN, height: height + 2 * MARGIN }
}

await mkdir(folder, { recursive: true })
await withEngine(async (engine) => {
  const { url, pool, authPool } = await engine.database('pictures')
  await loadDemo(pool, Date.now())
  const address = await engine.serve(url)
  const administrator = await signInAs({ authPool }, ADMINISTRATOR, 'administrator@demo.invalid')
  const lapsed = (await getBoard(pool, 'all', { group: 'at risk' }, Date.now())).bands[0]?.rows[0]
  const started = await startBrowser()
  if ('reason' in started) throw new Error(started.reason)
  const browser = await chromium.connect(started.endpoint)
  try {
    const take = async (name: string, path: string, width: number, height: number, part?: string) => {
      const context = await browser.newContext({
        viewport: { width, height },
        deviceScaleFactor: 2,
        timezoneId: 'Europe/Lisbon',
        locale: 'en-GB',
      })
      await administrator.addTo(context, address)
      const page = await context.newPage()
      await page.goto(address + path, { waitUntil: 'networkidle' })
      const box = part === undefined ? null : await page.locator(part).boundingBox()
      await page.screenshot({
        path: join(folder, `${name}.png`),
        fullPage: box !== null,
        ...(box && { clip: around(box) }),
      })
      await context.close()
    }
    await take('board', '/', 1440, 1000)
    await take('sample', `/samples/${lapsed?.code}`, 1440, 1000)
    await take('board-phone', '/', 390, 844)
    await take('due', '/due', 1440, 1000)
    await take('ship-window', '/plants/KET1', 1440, 1000, 'section[aria-labelledby=ship]')
  } finally {
    await browser.close()
    await started.stop()
  }
})
