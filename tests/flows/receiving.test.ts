import type { Page } from 'playwright-core'
import { beforeAll, describe, expect } from 'vitest'
import { formatKitCode } from '@/lib/custody/kitCode'
import { readMain, browserTest as test } from '@/tests/setup/browser'
import { recordAs } from './byHandProgramme'
import {
  ELSEWHERE,
  LAPSED,
  NOT_HANDED_OVER,
  type ReceivingProgramme,
  readReceipts,
  scan,
  startReceivingProgramme,
  UNDER_WAY,
  UNKNOWN,
} from './receivingProgramme'

let server: ReceivingProgramme
beforeAll(async () => {
  server = await startReceivingProgramme()
})

const ARRIVED = UNDER_WAY.slice(0, 40)
const [torn, wet, warm] = [ARRIVED[3], ARRIVED[17], ARRIVED[39]] as [string, string, string]
type Six = [string, string, string, string, string, string]
const [second, third, fourth, fifth, sixth, seventh] = UNDER_WAY.slice(40) as Six

async function openDesk(openPage: (options: object) => Promise<Page>): Promise<Page> {
  const page = await openPage({ as: { who: server.desk, address: server.address } })
  await page.goto(`${server.address}/receiving`, { waitUntil: 'networkidle' })
  return page
}
const type = async (page: Page, ...keys: string[]) => {
  for (const key of keys) await page.keyboard.press(key)
}
const FAULT = 'It is reported already. If that report is wrong, correct or withdraw it.'
const answer = (page: Page) => page.locator('[data-scanned]').textContent()
const focusedName = (page: Page) => page.evaluate(() => document.activeElement?.getAttribute('name') ?? null)

test('a desk receives 42 boxes with scanner and keyboard alone, and each fault stays with its box', async ({
  openPage,
}) => {
  const page = await openDesk(openPage)
  expect(await focusedName(page)).toBe('scan')
  for (const code of ARRIVED) {
    await scan(page, code)
    await expect.poll(() => answer(page)).toContain(`${formatKitCode(code)} is ticked.`)
  }
  // The seal: the second answer after “not checked”, that it is broken.
  await scan(page, torn)
  await expect.poll(() => focusedName(page)).toBe(`condition.${torn}.seal`)
  await type(page, 'ArrowRight', 'ArrowRight', 'Enter')
  expect(await focusedName(page)).toBe('scan')
  await scan(page, wet)
  await expect.poll(() => focusedName(page)).toBe(`condition.${wet}.seal`)
  await type(page, 'Tab', 'Tab', 'ArrowRight', 'ArrowRight', 'ArrowRight')
  expect(await focusedName(page)).toBe(`condition.${wet}.packaging`)
  await scan(page, warm)
  await expect.poll(() => focusedName(page)).toBe(`condition.${warm}.seal`)
  await type(page, 'Tab', 'Tab', 'Tab', 'Tab', 'Tab', 'Tab')
  expect(await focusedName(page)).toBe(`condition.${warm}.specimen`)
  await type(page, 'ArrowRight', 'ArrowRight', 'Tab')
  // A scanner that types into the temperature still adds its box, which is on no list.
  await page.keyboard.type('21,5')
  await scan(page, UNKNOWN[0] as string)
  await expect.poll(() => answer(page)).toContain('is not on this list')
  expect(await focusedName(page)).toBe('scan')
  await page.keyboard.type('7?K2 half torn')
  await type(page, 'Tab', 'Tab', 'Enter')
  await expect.poll(() => focusedName(page)).toBe('box.box1.written')
  await type(page, 'Tab')
  await page.keyboard.type('WB 77')
  await type(page, 'Enter')
  expect(await focusedName(page)).toBe('scan')
  // Right after a scan an Enter is the scanner's second one, and does nothing.
  const pressEnter = async () => {
    await type(page, 'Enter')
    return answer(page)
  }
  await expect.poll(pressEnter).toBe('Press Enter to record.')
  await Promise.all([page.waitForURL('**/receiving?done=*'), type(page, 'Enter')])

  const receipts = await readReceipts(server.database)
  expect(receipts).toHaveLength(42)
  const faults = receipts.filter(({ condition }) => condition !== null)
  const at = { place: 'LAB', waybill: null, written: null, waits: false }
  expect(Object.fromEntries(faults.map((one) => [one.sample, one]))).toEqual({
    [torn]: { ...at, sample: torn, condition: { seal: 'broken' } },
    [wet]: { ...at, sample: wet, condition: { packaging: 'wet' } },
    [warm]: { ...at, sample: warm, condition: { specimen: 'damaged', temperature: 21.5 } },
  })
  expect(receipts.filter(({ waits }) => waits)).toEqual([
    { ...at, sample: UNKNOWN[0], condition: null, waits: true },
    { ...at, sample: null, waybill: 'WB 77', written: '7?K2 half torn', condition: null, waits: true },
  ])
  const told = await page.locator('#done').textContent()
  expect(told).toContain(
    `${formatKitCode(torn)}. Found: seal broken. Do not load it before the programme has ruled.`,
  )
  expect(told).toMatch(
    new RegExp(`${formatKitCode(warm)}\\. Found: specimen damaged\\..+Whether 21\\.5 °C at receipt is right`),
  )
  expect(told).toContain('Recorded for 40 samples and 2 boxes without a known kit: received')
  expect(told).toContain('Nothing was found wrong with the other 37:')
  expect(told).toContain(
    `${formatKitCode(UNKNOWN[0] as string)}. It is kept until an administrator matches it`,
  )
  expect(await readMain(page)).toContain('Received without a kit: 2')
  await page.goto(`${server.address}/samples/${torn}`)
  expect(await readMain(page)).toContain('Seal: broken')
})

const tickUnderWay = async (page: Page, ...codes: string[]) => {
  for (const code of codes) await page.getByRole('checkbox', { name: formatKitCode(code) }).check()
}
const record = (page: Page) => page.getByRole('button', { name: 'Record as received' }).click()
const findReceipts = async (...codes: (string | null)[]) =>
  (await readReceipts(server.database)).filter(({ sample }) => codes.includes(sample as string | null))
const readConditions = async (...codes: string[]) =>
  Object.fromEntries((await findReceipts(...codes)).map(({ sample, condition }) => [sample, condition]))

test('without scripts, nothing typed is lost between scans, openings and faults', async ({ openPage }) => {
  const page = await openPage({ javaScriptEnabled: false, as: { who: server.desk, address: server.address } })
  await page.goto(`${server.address}/receiving`)
  const field = page.getByLabel('Scan a label')
  await field.fill(second)
  await field.press('Enter')
  expect(await answer(page)).toContain('is ticked')
  await page.getByRole('button', { name: `Condition of ${formatKitCode(second)}` }).click()
  await page.getByRole('radio', { name: 'missing' }).first().check()
  await page.getByLabel('Temperature').first().fill('hot')
  await field.fill(UNKNOWN[1] as string)
  await field.press('Enter')
  expect(await page.getByRole('checkbox', { name: formatKitCode(UNKNOWN[1] as string) }).isChecked()).toBe(
    true,
  )
  await page.getByRole('button', { name: 'Box without a code' }).click()
  await page.getByLabel('What is written on it').fill('no label')
  await page.getByText('At another time').click()
  await page.getByLabel('Note').fill('a long queue')
  await record(page)
  expect(await readMain(page)).toContain('Write degrees Celsius as a number from -100 to 150.')
  expect(await page.getByRole('radio', { name: 'missing' }).first().isChecked()).toBe(true)
  expect(await page.getByLabel('What is written on it').inputValue()).toBe('no label')
  expect(await page.getByLabel('Note').inputValue()).toBe('a long queue')
  await page.getByLabel('Temperature').first().fill('4')
  await record(page)
  expect(await page.locator('#done').textContent()).toContain('seal missing')
  const at = { place: 'LAB', waybill: null, written: null }
  expect(await findReceipts(second, UNKNOWN[1] as string)).toEqual([
    { ...at, sample: second, condition: { seal: 'missing', temperature: 4 }, waits: false },
    { ...at, sample: UNKNOWN[1], condition: null, waits: true },
  ])
  expect((await findReceipts(null)).at(-1)).toMatchObject({ written: 'no label', waits: true })
  await page.getByRole('button', { name: 'Undo all 3' }).click()
  expect(await readMain(page)).toContain('3 reports are withdrawn')
  expect(await findReceipts(second, UNKNOWN[1] as string)).toEqual([])
  expect(await readMain(page)).toContain('Received without a kit: 2')
})

describe('the same answers for several boxes', () => {
  test('hold only if one says so, and an answer of a box comes before them', async ({ openPage }) => {
    const page = await openDesk(openPage)
    await tickUnderWay(page, third, fourth)
    await page.getByRole('button', { name: `Condition of ${formatKitCode(fourth)}` }).click()
    await page.getByRole('radio', { name: 'broken' }).first().check()
    await page.getByText('The same condition for all').click()
    await page.getByRole('group', { name: 'Seal' }).last().getByLabel('intact').check()
    await page
      .getByRole('group', { name: 'Form', exact: true })
      .last()
      .getByLabel('complete', { exact: true })
      .check()
    await record(page)
    await page.getByText('Tick that these answers hold').waitFor()
    await page.getByLabel('These answers hold for every ticked box').check()
    await record(page)
    await page.locator('#done').waitFor()
    expect(await readConditions(third, fourth)).toEqual({
      [third]: { seal: 'intact', form: 'complete' },
      [fourth]: { seal: 'broken', form: 'complete' },
    })
  })

  test('are refused by JSON in the same way, and told by nested names', async () => {
    const both = { kind: 'received', sample: [fifth, sixth], condition: { seal: 'broken' } }
    expect(await recordAs(server, server.desk, both)).toMatchObject({
      status: 422,
      answer: { errors: [{ pointer: '/forAll' }] },
    })
    const each = { condition: { [fifth]: { codeMatches: false }, [seventh]: { seal: 'broken' } } }
    expect(await recordAs(server, server.desk, { ...both, ...each })).toMatchObject({
      status: 422,
      answer: { errors: [{ pointer: `/box.${seventh}` }] },
    })
    const told = { ...both, condition: { [fifth]: { codeMatches: false } } }
    expect((await recordAs(server, server.desk, told)).status).toBe(200)
    expect(await readConditions(fifth, sixth)).toEqual({ [fifth]: { codeMatches: false }, [sixth]: null })
  })
})

describe('a box of no list', () => {
  const receive = (code: string, more: Record<string, unknown> = {}) =>
    recordAs(server, server.desk, { kind: 'received', laboratory: 'LAB', box: [code], ...more })

  test('is received on its sample if the kit is this laboratory’s, though nobody handed it over', async ({
    openPage,
  }) => {
    const [code, again, , later] = NOT_HANDED_OVER as [string, string, string, string]
    const page = await openDesk(openPage)
    await scan(page, code)
    await expect.poll(() => answer(page)).toContain('is not awaited: Felt tile of A plant, kit issued')
    await record(page)
    await page.locator('#done').waitFor()
    expect(await page.locator('#done').textContent()).toContain('Recorded: received')
    expect(await findReceipts(code)).toMatchObject([{ place: 'LAB', waits: false }])
    await page.goto(`${server.address}/receiving`, { waitUntil: 'networkidle' })
    await scan(page, code)
    await expect
      .poll(() => answer(page))
      .toMatch(/is received already, and is left out: .+ on the dock since/)
    await scan(page, later)
    await scan(page, again)
    // A colleague receives one of them meanwhile.
    expect((await receive(later)).status).toBe(200)
    await record(page)
    await page.getByText('It is reported already.').waitFor()
    const focused = () => page.evaluate(() => document.activeElement?.textContent)
    await expect.poll(focused, { timeout: 20_000 }).toBe(FAULT)
    const top = await page.getByText(FAULT).evaluate((one) => one.getBoundingClientRect().top)
    expect(top > 0 && top < 720).toBe(true)
    await page.getByRole('checkbox', { name: formatKitCode(later) }).uncheck()
    await record(page)
    await page.locator('#done').waitFor()
    await expect.poll(() => focusedName(page), { timeout: 20_000 }).toBe('scan')
    expect(await findReceipts(again)).toHaveLength(1)
  })

  test('is said not to be loaded if its sample has lapsed, and not to be fine', async ({ openPage }) => {
    const page = await openDesk(openPage)
    await scan(page, LAPSED)
    await record(page)
    await page.locator('#done').waitFor()
    const told = await page.locator('#done').textContent()
    expect(told).toContain(
      `${formatKitCode(LAPSED)}. Its hold limit has ended. Do not load it: keep or discard it by the site’s rules.`,
    )
    expect(told).not.toContain('Nothing was found wrong')
  })

  test('gets the same answer whether nobody has its code or another laboratory’s maker', async ({
    openPage,
  }) => {
    const [unknown, foreign] = [UNKNOWN[2] as string, ELSEWHERE]
    const tellApart = (answer: unknown, code: string) => JSON.stringify(answer).replaceAll(code, 'CODE')
    const answers = []
    for (const code of [unknown, foreign]) {
      const told = await receive(code, {
        token: `the-same-token-of-${code}`,
        condition: { [code]: { seal: 'broken' } },
      })
      const page = await openPage({ as: { who: server.desk, address: server.address } })
      await page.goto(`${server.address}/receiving?done=the-same-token-of-${code}`)
      const notice = (await page.locator('#done').textContent()) ?? ''
      const events = (told.answer.events as string[]).map((key) => key.replace(server.desk.personId, 'ID'))
      answers.push([
        told.status,
        told.answer.result,
        tellApart(events, code),
        notice.replaceAll(formatKitCode(code), 'CODE').replace(/\d\d:\d\d/g, 'TIME'),
      ])
    }
    expect(answers[0]).toEqual(answers[1])
    expect(answers[0]?.[0]).toBe(200)
    expect((await findReceipts(unknown, foreign)).map(({ waits }) => waits)).toEqual([true, true])
  })

  test('is not received at another’s laboratory', async () => {
    const told = await receive(UNKNOWN[3] as string, { laboratory: 'LAB2' })
    expect(told.status).toBe(403)
  })

  test('is assigned to its sample by an administrator, with what was found', async ({ openPage }) => {
    const [code] = NOT_HANDED_OVER.slice(2) as [string]
    const facts = { 'box.box1.written': 'felt, batch 7', 'condition.box1.packaging': 'damaged' }
    await recordAs(server, server.desk, { kind: 'received', laboratory: 'LAB', box: ['box1'], ...facts })
    const page = await openPage({ as: { who: server.administrator, address: server.address } })
    await page.goto(`${server.address}/unplaced`)
    const item = page.locator('li', { hasText: 'felt, batch 7' }).first()
    expect(await item.textContent()).toContain('a box without a readable code')
    expect(await item.textContent()).toContain('at A laboratory')
    expect(await item.textContent()).toContain('Packaging: damaged')
    await item.getByText('Assign to a kit').click()
    await item.getByLabel('Code of the kit').fill(code)
    await item.getByLabel('Why').fill('the batch is its lot')
    await item.getByRole('button', { name: 'Assign' }).click()
    await page.waitForURL(`**/samples/${code}?done=*`)
    expect(await findReceipts(code)).toMatchObject([{ condition: { packaging: 'damaged' }, place: 'LAB' }])
  })
})
