import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { Page } from 'playwright-core'
import { beforeAll, expect } from 'vitest'
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader'
import { formatKitCode } from '@/lib/custody/kitCode'
import { browserTest as test } from '@/tests/setup/browser'
import { ABSENT, FOREIGN, type HandProgramme, OWN, recordAs, startHandProgramme } from './byHandProgramme'
import { scan } from './receivingProgramme'

let server: HandProgramme
const [first, second, third] = OWN as [string, string, string]
beforeAll(async () => {
  server = await startHandProgramme()
  await recordAs(server, server.administrator, { kind: 'collected', sample: [first, second, third] })
  const sent = { kind: 'dispatched', service: 'road', waybill: 'WB 900' }
  await recordAs(server, server.administrator, { ...sent, sample: [first, second] })
})

test('an independent reader reads the bar codes of printed labels as their kit codes', async ({
  openPage,
}) => {
  const wasm = createRequire(import.meta.url).resolve('zxing-wasm/reader/zxing_reader.wasm')
  await prepareZXingModule({ overrides: { wasmBinary: readFileSync(wasm).buffer }, fireImmediately: true })
  // Three points to a CSS pixel are 288 dpi, as an ordinary printer prints.
  const as = { who: server.administrator, address: server.address }
  const page = await openPage({ as, deviceScaleFactor: 3 })
  await page.emulateMedia({ media: 'print' })
  await page.goto(`${server.address}/setup/labels?codes=${first}.${second}.${FOREIGN}`)
  const labels = await page.locator('article').all()
  expect(labels).toHaveLength(3)
  for (const label of labels) {
    const written = (await label.locator('p').first().textContent()) ?? ''
    const found = await readBarcodes(await label.screenshot())
    expect(found.map(({ format, text }) => [format, formatKitCode(text)])).toEqual([['Code128', written]])
  }
})

const isTicked = (page: Page, code: string) => page.getByLabel(formatKitCode(code)).isChecked()
const answer = (page: Page) => page.locator('[data-scanned]').textContent()

for (const javaScriptEnabled of [true, false])
  test(`a scanner at the desk ticks one sample after another, ${javaScriptEnabled ? 'with' : 'without'} scripts`, async ({
    openPage,
  }) => {
    const page = await openPage({ javaScriptEnabled, as: { who: server.desk, address: server.address } })
    await page.goto(`${server.address}/receiving`, { waitUntil: 'networkidle' })
    const field = page.getByLabel('Scan a label, or type its code')
    await field.focus()
    for (const [text, said] of [
      [first.toLowerCase(), `${formatKitCode(first)} is ticked.`],
      [third, `${formatKitCode(third)} is not awaited: Felt tile of A plant, cut today`],
      [ABSENT, `${formatKitCode(ABSENT)} is not on this list`],
      [`${first.slice(0, -1)}?`, 'is not a kit code'],
      [formatKitCode(second), `${formatKitCode(second)} is ticked.`],
    ] as const) {
      await field.focus()
      await field.selectText()
      await scan(page, text)
      await expect.poll(() => answer(page)).toContain(said)
    }
    expect([await isTicked(page, first), await isTicked(page, second)]).toEqual([true, true])
    expect(new URL(page.url()).pathname).toBe('/receiving')
  })

test('a scanner may end a code with Tab, and type it where the focus is on a day or a choice', async ({
  openPage,
}) => {
  const page = await openPage({ as: { who: server.desk, address: server.address } })
  await page.goto(`${server.address}/receiving`, { waitUntil: 'networkidle' })
  const focused = () => page.evaluate(() => document.activeElement?.getAttribute('name'))
  await page.getByLabel('Scan a label, or type its code').focus()
  await page.keyboard.type(first)
  await page.keyboard.press('Tab')
  await expect.poll(() => answer(page)).toContain(`${formatKitCode(first)} is ticked.`)
  expect(await focused()).toBe('scan')
  // Without a code Tab goes on to the next field.
  await page.keyboard.type('12')
  await page.keyboard.press('Tab')
  expect(await focused()).toBe('press')
  await page.getByText('At another time').click()
  const day = page.getByLabel(/^Day in/)
  for (const end of ['Enter', 'Tab']) {
    await day.fill('')
    await day.focus()
    await page.keyboard.type('11202026')
    await page.keyboard.type(second)
    await page.keyboard.press(end)
    await expect.poll(() => answer(page)).toContain(formatKitCode(second))
    expect([await isTicked(page, second), await day.inputValue(), await focused()]).toEqual([
      true,
      '2026-11-20',
      'scan',
    ])
    await page.getByLabel(formatKitCode(second)).uncheck()
  }
})
