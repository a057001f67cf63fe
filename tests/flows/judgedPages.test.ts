import type { Locator, Page } from 'playwright-core'
import { beforeAll, describe, expect } from 'vitest'
import { formatKitCode } from '@/lib/custody/kitCode'
import { type PageOptions, readMain, browserTest as test } from '@/tests/setup/browser'
import { makeTestDatabase } from '@/tests/setup/database'
import { startTestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type ServedProgramme, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { recordAs } from './byHandProgramme'
import { FOUND, findingOn, judgedProgramme, KITS } from './judgedPagesProgramme'
import { send } from './pagesProgramme'

let server: ServedProgramme
let contact: SignedIn
let desk: SignedIn
beforeAll(async () => {
  const database = await makeTestDatabase()
  const started = await startTestServer(database.url)
  server = { ...started, database, administrator: await signInAs(database, ADMINISTRATOR) }
  contact = await signInAs(database, { plants: ['PL1', 'PL2'] })
  desk = await signInAs(database, { laboratories: ['LAB'] })
  const { register, events } = judgedProgramme(Date.now())
  await send(server, 'PUT', '/api/register', register)
  await send(server, 'POST', '/api/events', events)
})

type OpenPage = (options?: PageOptions) => Promise<Page>
async function openAs(openPage: OpenPage, who: SignedIn, path: string): Promise<Page> {
  const page = await openPage({ as: { who, address: server.address } })
  await page.goto(server.address + path)
  return page
}

/** The text of an element as it is read. */
const read = async (locator: Locator) => (await locator.allInnerTexts()).join(' ').replace(/\s+/g, ' ').trim()
/** The line of a kit in a list of samples. */
const findLine = (page: Page, code: string) =>
  page.locator('main li', { has: page.getByRole('link', { name: formatKitCode(code), exact: true }) })
const readLine = (page: Page, code: string) => read(findLine(page, code))
const readNeeds = (page: Page) => read(page.locator('section[aria-labelledby=needs]'))
/** Whether a kind of event can be recorded, though no button is offered for it. */
async function isReachable(page: Page, name: string): Promise<boolean> {
  await page.getByText('Something else happened').click()
  return (await page.getByRole('link', { name, exact: true }).count()) === 1
}
const presses = (page: Page) => page.getByRole('button', { name: /^Record: / }).allInnerTexts()
/** What a person is told about a kit on the board and on its own page. */
async function readBoth(openPage: OpenPage, who: SignedIn, code: string) {
  const page = await openAs(openPage, who, '/')
  const line = await readLine(page, code)
  await page.goto(`${server.address}/samples/${code}`)
  return { page, line, heading: await read(page.locator('h1')), needs: await readNeeds(page) }
}

describe('a box received with a broken seal', () => {
  const found = `Found: ${FOUND}.`

  test('is in question everywhere: the desk waits and does not load it', async ({ openPage }) => {
    const { page, line, heading, needs } = await readBoth(openPage, desk, KITS.torn)
    expect(heading).toMatch(/in question: \d+ days? .*left$/i)
    expect(line).toMatch(/in question: \d+ days/)
    expect(line).toContain(`${found} Do not load it.`)
    expect(line).toContain('Wait for the ruling')
    expect(line).not.toContain('Load it')
    expect(needs).toMatch(
      /^What it needs Do not load it\. .* You Wait for the ruling .* The programme Rule on what was found \(by/,
    )
    expect(await readMain(page)).toContain(found)
    expect(await presses(page)).toEqual([])
    expect(await page.title()).toBe(`${formatKitCode(KITS.torn)}, in question · Holdfast`)
  })

  test('has the administrator rule by the last useful loading, on every page alike', async ({ openPage }) => {
    const { page, line, needs } = await readBoth(openPage, server.administrator, KITS.torn)
    expect(line).toMatch(/Rule on what was found \(by /)
    expect(needs).toMatch(
      /You Rule on what was found \(by .* A laboratory Wait for the ruling \(due by .* Plant PL1 Wait for the ruling \(due by /,
    )
    const rule = page.getByRole('link', { name: 'Rule on what was found' })
    await rule.click()
    await page.waitForURL(/record=ruling/)
    expect(new URL(page.url()).searchParams.get('on')).toBe(findingOn(KITS.torn))
    await page.goto(`${server.address}/due`)
    expect(await readMain(page)).toContain(`Rule on what was found on ${formatKitCode(KITS.torn)}`)
  })

  test('has its plant wait', async ({ openPage }) => {
    const { page, line, needs } = await readBoth(openPage, contact, KITS.torn)
    expect(line).toContain('Wait for the ruling')
    expect(needs).toContain('You Wait for the ruling')
    await page.goto(`${server.address}/plants/PL1`)
    expect(await readLine(page, KITS.torn)).toContain('Wait for the ruling')
  })
})

describe('a box that is ruled out', () => {
  beforeAll(async () => {
    for (const sample of [KITS.ruledOut, KITS.ruledOutElsewhere]) {
      const ruling = { on: findingOn(sample), ruling: 'cut again', reason: 'the bag was open' }
      const { status } = await recordAs(server, server.administrator, { kind: 'ruling', sample, ...ruling })
      expect(status).toBeLessThan(300)
    }
  })

  test('is unfit at once: nobody loads it, and the desk keeps or discards it', async ({ openPage }) => {
    const { page, line, heading, needs } = await readBoth(openPage, desk, KITS.ruledOut)
    expect(heading).toContain('Ended: ruled out')
    expect(line).toContain('Do not load it.')
    expect(line).toContain('Ask the programme to replace it')
    expect(needs).toContain('Do not load it. Keep or discard it by the rules of the laboratory’s site.')
    expect(needs).not.toContain('Load it')
    expect(needs).toContain('The programme Replace it with the spare kit ')
    expect(await presses(page)).toEqual([])
    // What is reported of it all the same is still taken.
    expect(await isReachable(page, 'loaded into the chamber')).toBe(true)
  })

  test('is replaced by one press: with the spare kit at its plant', async ({ openPage }) => {
    const { page, needs } = await readBoth(openPage, server.administrator, KITS.ruledOut)
    const replace = `Replace it with the spare kit ${formatKitCode(KITS.spare)}`
    expect(needs).toContain(`You ${replace}`)
    expect(needs).toContain(`Plant PL1 Cut it again with the spare kit ${formatKitCode(KITS.spare)}`)
    await page.getByRole('link', { name: replace }).click()
    await page.waitForURL(/record=replaced/)
    expect(await page.getByLabel('Kit', { exact: false }).first().inputValue()).toBe(KITS.spare)
    expect(await page.getByLabel('Why', { exact: false }).first().inputValue()).toBe(
      'The ruling was to cut it again.',
    )
    await page.getByRole('button', { name: 'Record: replaced by another kit' }).click()
    await page.getByText('Recorded: replaced by another kit').waitFor()
    expect(await readNeeds(page)).toContain('another kit replaces it')
    const plant = await openAs(openPage, contact, `/samples/${KITS.spare}?record=collected`)
    expect(await readMain(plant)).toContain(`It replaces ${formatKitCode(KITS.ruledOut)}`)
    expect(await plant.getByRole('combobox', { name: 'Product' }).inputValue()).toBe('FELT')
    await plant.goto(`${server.address}/samples/${KITS.spare}?record=dispatched`)
    expect(await plant.getByRole('combobox', { name: 'Carrier service' }).inputValue()).toBe('road')
  })

  test('else by a kit to be issued, whose form is filled in, with its service', async ({ openPage }) => {
    const page = await openAs(openPage, server.administrator, `/samples/${KITS.ruledOutElsewhere}`)
    await page.getByRole('link', { name: 'Issue a kit to replace it' }).click()
    await page.waitForURL('**/setup/add/kits*')
    const values = await page.evaluate(() =>
      Object.fromEntries(
        [...document.querySelectorAll<HTMLInputElement>('main :is(input, select)')].map((one) => [
          one.name,
          one.value,
        ]),
      ),
    )
    expect(values).toMatchObject({
      plant: 'PL2',
      product: 'CORK',
      laboratory: 'LAB',
      service: 'road',
      purpose: 're-collection',
      replaces: KITS.ruledOutElsewhere,
    })
  })
})

test('the board finds what is in question, and what is to be replaced, also where it is settled', async ({
  openPage,
}) => {
  const page = await openAs(openPage, server.administrator, '/?group=in+question')
  expect(await read(findLine(page, KITS.torn))).toContain('Rule on what was found')
  expect(await findLine(page, KITS.ruledOutElsewhere).count()).toBe(0)
  await page.selectOption('select[name=group]', 'to be replaced')
  await findLine(page, KITS.ruledOutElsewhere).waitFor()
  expect(await readLine(page, KITS.ruledOutElsewhere)).toContain('Issue a kit to replace it')
  expect(await findLine(page, KITS.torn).count()).toBe(0)
})

test('what is due has also what is not late: the desk and the plant wait for the ruling', async ({
  openPage,
}) => {
  for (const who of [desk, contact]) {
    const page = await openAs(openPage, who, '/due')
    const next = await read(page.locator('section[aria-labelledby=next]'))
    expect(next).toContain(`Wait for the ruling on ${formatKitCode(KITS.torn)}. Found: ${FOUND}.`)
  }
  const page = await openAs(openPage, server.administrator, '/due')
  expect(await readMain(page)).not.toContain('Wait for the ruling')
})

describe('a sample that lapsed before it was handed over', () => {
  test('is not offered to be handed over, nor counted as ready', async ({ openPage }) => {
    const { page, heading, needs } = await readBoth(openPage, contact, KITS.lapsed)
    expect(heading).toContain('Lapsed 2 days ago')
    expect(needs).toContain('Do not send it. Keep or discard it by the rules of the plant’s site.')
    expect(needs).toContain('You Cut again when the kit to replace it arrives')
    expect(await presses(page)).toEqual([])
    expect(await isReachable(page, 'handed over')).toBe(true)
    expect(await readMain(page)).not.toContain('When to hand over')
    await page.goto(`${server.address}/plants/PL1`)
    await page.getByText('One sample is ready to hand over').click()
    expect(await page.getByLabel(formatKitCode(KITS.ready)).count()).toBe(1)
    for (const code of [KITS.lapsed, KITS.retained])
      expect(await page.getByLabel(formatKitCode(code)).count()).toBe(0)
  })

  test('is no longer waited for once it is under way', async ({ openPage }) => {
    const page = await openAs(openPage, desk, '/receiving')
    expect(await page.getByLabel(formatKitCode(KITS.underWay)).count()).toBe(1)
    expect(await page.getByLabel(formatKitCode(KITS.lapsedUnderWay)).count()).toBe(0)
    await page.goto(`${server.address}/samples/${KITS.lapsedUnderWay}`)
    expect(await readNeeds(page)).toContain('When it arrives, keep or discard it')
    expect(await isReachable(page, 'received')).toBe(true)
  })
})

test('a retained sample that has lapsed asks nobody for anything', async ({ openPage }) => {
  for (const who of [server.administrator, contact]) {
    const { page, line, needs } = await readBoth(openPage, who, KITS.retained)
    expect(line).toMatch(/lapsed 2 days ago cut to chamber · Do not send it\.$/)
    expect(needs).toMatch(/Do not send it\..*Nobody has to do anything about it/)
    await page.goto(`${server.address}/due`)
    expect(await readMain(page)).not.toContain(formatKitCode(KITS.retained))
  }
})

test('a retained sample that was handed over is waited for only while it is fit', async ({ openPage }) => {
  const { page, line } = await readBoth(openPage, server.administrator, KITS.retainedUnderWay)
  expect(line).toMatch(/Do not load it\.$/)
  for (const path of ['/arrivals', '/receiving']) {
    await page.goto(`${server.address}${path}`)
    expect(await readMain(page)).not.toContain(formatKitCode(KITS.retainedUnderWay))
  }
})

test('nobody has to rule on what was found on a retained sample, and its page says so', async ({
  openPage,
}) => {
  const { line, needs, page } = await readBoth(openPage, server.administrator, KITS.retainedTorn)
  expect(line).toMatch(/in question/)
  expect(needs).toContain(
    'It is retained: until it replaces another sample, nobody has to do anything about it.',
  )
  expect(await page.locator('#found').textContent()).toContain('has not ruled on it yet')
})
