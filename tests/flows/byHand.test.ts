import type { Page } from 'playwright-core'
import { beforeAll, describe, expect } from 'vitest'
import { EVENT_KINDS } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import { formatKitCode } from '@/lib/custody/kitCode'
import { isEnding } from '@/lib/hold/milestone'
import { english } from '@/lib/messages/english'
import { readMain, browserTest as test } from '@/tests/setup/browser'
import type { SignedIn } from '@/tests/setup/signIn'
import {
  FOREIGN,
  type HandProgramme,
  OWN,
  PHONE,
  recordAs,
  SPARE,
  startHandProgramme,
} from './byHandProgramme'

let server: HandProgramme
beforeAll(async () => {
  server = await startHandProgramme()
})

const [cut, changed, together, alongside, slipped, meant, late, deviating, underWay, undone] = OWN as [
  string,
  string,
  string,
  string,
  string,
  string,
  string,
  string,
  string,
  string,
]

async function openAs(
  open: (options: object) => Promise<Page>,
  person: SignedIn,
  path: string,
  options = {},
) {
  const page = await open({ ...PHONE, ...options })
  await person.addTo(page.context(), server.address)
  await page.goto(`${server.address}${path}`)
  return page
}

const press = (page: Page, name: string | RegExp) => page.getByRole('button', { name }).click()

describe('a plant contact with a phone and no scripts yet', () => {
  const noScripts = { javaScriptEnabled: false }

  test('records the next milestone by one press, and undoes it by another', async ({ openPage }) => {
    const page = await openAs(openPage, server.contact, `/samples/${cut}`, noScripts)
    await press(page, 'Record: cut')
    expect(await readMain(page)).toMatch(/Recorded: cut, \w+ \d+ \w+ \d\d:\d\d Lisbon\./)
    expect(await readMain(page)).toContain('A person of the tests')
    await press(page, 'Undo')
    expect(await readMain(page)).toContain('The report is withdrawn.')
    expect(await page.getByRole('button', { name: 'Record: cut' }).count()).toBe(1)
  })

  test('keeps what was typed after a fault, and shows the fault beside its field', async ({ openPage }) => {
    const page = await openAs(openPage, server.contact, `/samples/${SPARE}`, noScripts)
    await page.getByLabel('Lot').fill('L 5')
    await press(page, 'Record: cut')
    expect(await readMain(page)).toContain('This is a spare kit. Choose the product that was cut.')
    expect(await page.getByLabel('Lot').inputValue()).toBe('L 5')
    await page.getByLabel('Product').selectOption('FELT')
    await press(page, 'Record: cut')
    expect(await readMain(page)).toContain('Recorded: cut')
    expect(await readMain(page)).toContain('lot L 5')
  })

  test('records an earlier time, and corrects it later', async ({ openPage }) => {
    const page = await openAs(openPage, server.contact, `/samples/${changed}`, noScripts)
    const day = new Date(Date.now() - 86_400_000).toISOString().slice(0, 10)
    await page.getByText('At another time').click()
    await page.getByLabel('Day in Lisbon').fill(day)
    await page.getByLabel('Time in Lisbon').fill('09:15')
    await press(page, 'Record: cut')
    expect(await readMain(page)).toMatch(/Recorded: cut, .* 09:15 Lisbon/)
    await page.getByRole('link', { name: 'change the time' }).click()
    expect(await page.getByLabel('Time in Lisbon').inputValue()).toBe('09:15')
    await page.getByLabel('Time in Lisbon').fill('08:40')
    await press(page, 'Save the correction')
    expect(await readMain(page)).toMatch(/Recorded: cut, .* 08:40 Lisbon/)
    expect(await page.locator('tr:has(s)').textContent()).toContain('09:15 Lisbon')
  })

  test('undoes a correction: the report counts as it was before', async ({ openPage }) => {
    const page = await openAs(openPage, server.contact, `/samples/${undone}`, noScripts)
    await press(page, 'Record: cut')
    const before = (await page.locator('#done').textContent()) ?? ''
    await page.getByRole('link', { name: 'change the time' }).click()
    await page.getByLabel('Time in Lisbon').fill('00:01')
    await press(page, 'Save the correction')
    expect(await readMain(page)).toMatch(/Recorded: cut, .*00:01 Lisbon/)
    await press(page, 'Undo')
    expect(await page.locator('#done').textContent()).toContain('The change is undone')
    expect(await page.locator('#done').textContent()).toContain(/Recorded: cut, [^.]+\./.exec(before)?.[0])
    expect(await page.locator('tr:has(s)').count()).toBe(2)
    expect(await page.getByRole('button', { name: 'Record: cut' }).count()).toBe(0)
    // And it can be changed again, which is no undoing.
    await page.getByRole('link', { name: 'change the time' }).click()
    await page.getByLabel('Time in Lisbon').fill('00:02')
    await press(page, 'Save the correction')
    expect(await page.locator('#done').textContent()).not.toContain('The change is undone')
  })

  test('hands several samples over under one waybill at once, and undoes it at once', async ({
    openPage,
  }) => {
    for (const sample of [together, alongside])
      await recordAs(server, server.contact, { kind: 'collected', sample })
    const page = await openAs(openPage, server.contact, '/plants/PL1', noScripts)
    await page.getByText('ready to hand over').click()
    await press(page, 'Record for the ticked samples: handed over')
    expect(await readMain(page)).toContain('Tick at least one sample.')
    for (const code of [together, alongside]) await page.getByLabel(formatKitCode(code)).check()
    await page.getByLabel('waybill').fill('WB 12-3')
    await press(page, 'Record for the ticked samples: handed over')
    expect(await readMain(page)).toContain('Choose the carrier’s service.')
    expect(await page.getByLabel('waybill').inputValue()).toBe('WB 12-3')
    expect(await page.getByLabel(formatKitCode(alongside)).isChecked()).toBe(true)
    await page.getByLabel('service').selectOption('road')
    await press(page, 'Record for the ticked samples: handed over')
    expect(await readMain(page)).toMatch(/Recorded for 2 samples: handed over, /)
    expect(await page.getByRole('button', { name: 'Undo all 2' }).count()).toBe(1)
    await page.goto(`${server.address}/samples/${alongside}`)
    expect(await readMain(page)).toContain('It travels by road, waybill WB 12-3.')
  })
})

test('on a phone, buttons are large enough for gloves and nothing is wider than the screen', async ({
  openPage,
}) => {
  await recordAs(server, server.contact, { kind: 'collected', sample: late })
  for (const [person, path] of [
    [server.contact, `/samples/${late}`],
    [server.contact, '/plants/PL1'],
    [server.administrator, `/samples/${late}`],
    [server.desk, '/receiving'],
  ] as const) {
    const page = await openAs(openPage, person, path)
    await page.evaluate(() => {
      for (const one of document.querySelectorAll('details')) one.open = true
    })
    const found = await page.evaluate(() => ({
      small: [
        ...document.querySelectorAll(
          '#record button, #record summary, #record label, #record a, main form :is(button, label, select)',
        ),
      ]
        .filter((one) => one.getBoundingClientRect().height > 0 && one.getBoundingClientRect().height < 44)
        .map((one) => one.textContent),
      wider: document.documentElement.scrollWidth > window.innerWidth,
    }))
    expect(found, path).toEqual({ small: [], wider: false })
  }
})

test('a laboratory’s desk ticks what has come, with its condition', async ({ openPage }) => {
  const sent = { kind: 'dispatched', service: 'road', waybill: 'WB 900' }
  await recordAs(server, server.administrator, { ...sent, sample: [late, FOREIGN] })
  const page = await openAs(openPage, server.desk, '/receiving')
  expect(await readMain(page)).toContain('waybill WB 900')
  for (const code of [late, FOREIGN]) await page.getByLabel(formatKitCode(code)).check()
  await page.getByRole('button', { name: `Condition of ${formatKitCode(late)}` }).click()
  await page.getByLabel('broken').first().check()
  await page.getByLabel('Temperature').first().fill('21.5')
  await press(page, 'Record as received')
  await page.getByText('Recorded for 2 samples').waitFor()
  expect(await page.getByLabel(formatKitCode(late)).count()).toBe(0)
  await page.goto(`${server.address}/samples/${late}`)
  expect(await readMain(page)).toContain('Seal: broken')
  expect(await readMain(page)).toContain('Temperature, °C: 21.5')
  // A broken seal holds it: nothing leads on to its test.
  expect(await readMain(page)).toContain('Do not load it.')
  expect(await page.getByRole('button', { name: 'Record: conditioning begun' }).count()).toBe(0)
  expect(await page.getByRole('link', { name: 'handed over', exact: true }).count()).toBe(0)
})

test('a person without a laboratory has no receiving list', async ({ openPage }) => {
  const page = await openPage({ ...PHONE, expectedErrors: [/404/] })
  await server.contact.addTo(page.context(), server.address)
  expect((await page.goto(`${server.address}/receiving`))?.status()).toBe(404)
})

describe('an administrator', () => {
  test('records a carrier’s report, which is then among the events of the sample', async ({ openPage }) => {
    await recordAs(server, server.administrator, { kind: 'dispatched', service: 'road', sample: underWay })
    const page = await openAs(openPage, server.administrator, `/samples/${underWay}`)
    const kinds = EVENT_KINDS.filter((kind) => KINDS[kind].reportedBy.includes('carrier') && !isEnding(kind))
    expect(kinds.length).toBeGreaterThan(2)
    for (const kind of kinds) {
      const { label, actionLabel = label } = KINDS[kind]
      const [happened, toRecord] = [english(label), english(actionLabel)]
      await page.goto(`${server.address}/samples/${underWay}?record=carrier#record`)
      await page.getByRole('link', { name: toRecord, exact: true }).click()
      await press(page, `Record: ${toRecord}`)
      await page.getByText(`Recorded: ${happened},`).waitFor()
      expect(await page.getByRole('rowheader', { name: happened }).count()).toBe(1)
    }
  })

  test('moves a kit’s events to the kit they belong to, with a reason', async ({ openPage }) => {
    for (const kind of ['collected', 'sealed'])
      await recordAs(server, server.contact, { kind, sample: slipped })
    const page = await openAs(openPage, server.administrator, `/samples/${slipped}`)
    await page.getByText('Move events to another kit').click()
    await page.getByLabel('Code of the kit they belong to').fill(slipped)
    await press(page, 'Move the events')
    await page.getByText('They are on this kit already.').waitFor()
    await page.getByLabel('Code of the kit they belong to').fill(formatKitCode(meant).toLowerCase())
    await page.getByLabel('Why').fill('the label was misread')
    await press(page, 'Move the events')
    await page.waitForURL(`**/samples/${meant}?done=*`)
    expect(await readMain(page)).toContain(`moved from: ${slipped}`)
    expect(await readMain(page)).toContain('moved because: the label was misread')
    expect(await readMain(page)).toContain('Now: sealed today')
    await page.goto(`${server.address}/samples/${slipped}`)
    expect(await readMain(page)).toContain('Now: kit issued ')
    expect(await page.locator('tr:has(s)').count()).toBe(2)
  })

  test('assigns an unmatched event of a consignment to a kit', async ({ openPage }) => {
    await recordAs(server, server.administrator, {
      kind: 'dispatched',
      service: 'road',
      waybill: 'WB 5551',
      sample: deviating,
    })
    const at = new Date().toISOString()
    const post = await fetch(`${server.address}/api/events`, {
      method: 'POST',
      headers: { ...server.administrator.headers, 'content-type': 'application/json' },
      body: JSON.stringify({
        source: 'carrier',
        id: '1',
        kind: 'delivered',
        service: 'road',
        waybill: 'WB 5557',
        at,
      }),
    })
    expect(post.status).toBe(200)
    const page = await openAs(openPage, server.administrator, '/unplaced')
    await page.getByText('Assign to a kit').click()
    await page.getByLabel(formatKitCode(deviating)).check()
    await press(page, 'Assign')
    await page.getByText('Say why.').waitFor()
    await page.getByLabel('Why').fill('a digit was misread')
    await press(page, 'Assign')
    await page.waitForURL(`**/samples/${deviating}?done=*`)
    expect(await readMain(page)).toContain('Now: delivered today')
    await page.goto(`${server.address}/unplaced`)
    expect(await page.locator('h1').textContent()).toBe('Every event matches a sample.')
  })

  test('rules on a deviation, and extends a limit', async ({ openPage }) => {
    await recordAs(server, server.contact, { kind: 'collected', sample: deviating })
    await recordAs(server, server.desk, { kind: 'deviation', sample: deviating, what: 'a torn bag' })
    const page = await openAs(openPage, server.administrator, `/samples/${deviating}?record=ruling`)
    await page.getByRole('checkbox', { name: 'a torn bag' }).check()
    await page.getByRole('combobox', { name: 'Ruling' }).selectOption({ label: 'use with a note' })
    await page.getByLabel('Why').first().fill('the inner bag is whole')
    await press(page, 'Record: rule on what was found')
    await page.getByText('Recorded: ruling').waitFor()
    await page.getByText('Something else happened').click()
    await page.getByRole('link', { name: 'extend a limit' }).click()
    await page.getByRole('combobox', { name: 'Limit' }).selectOption('cut to chamber')
    const until = new Date(Date.now() + 30 * 86_400_000).toISOString().slice(0, 10)
    await page.getByLabel('Until, in New York').fill(until)
    await page.getByLabel('Why').first().fill('the chamber broke down')
    await press(page, 'Record: extend a limit')
    await page.getByText('Recorded: limit extended').waitFor()
    expect(await readMain(page)).toContain('Approved by: A person of the tests')
  })
})
