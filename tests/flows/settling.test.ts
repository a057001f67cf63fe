import type { Page } from 'playwright-core'
import { beforeAll, describe, expect } from 'vitest'
import { DAY } from '@/lib/hold/zone'
import { OVERDUE_KINDS, type Overdue, type OverdueKind } from '@/lib/judgement/overdueKinds'
import { resolutionPath } from '@/lib/judgement/resolutionPath'
import { makeResponsible } from '@/lib/judgement/responsibility'
import { getDueWork } from '@/lib/store/read/due/dueWork'
import { chanceFrom } from '@/tests/reference/random'
import { readMain, browserTest as test } from '@/tests/setup/browser'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { drawUsual } from '@/tests/setup/drawUsual'
import { getRunSeed } from '@/tests/setup/seed'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { CONTACT, DESK, PHONE, recordAs } from './byHandProgramme'
import { send } from './pagesProgramme'
import { COPIES, getProduct, OTHERWISE, settlingProgramme } from './settlingProgramme'

let database: TestDatabase
let server: TestServer & { administrator: SignedIn }
let people: Record<Overdue['actor']['by'], SignedIn>
beforeAll(async () => {
  database = await makeTestDatabase()
  const started = await startTestServer(database.url)
  server = { ...started, administrator: await signInAs(database, ADMINISTRATOR) }
  people = {
    programme: server.administrator,
    plant: await signInAs(database, CONTACT),
    laboratory: await signInAs(database, DESK),
  }
  const { register, events } = settlingProgramme(Date.now())
  await send(server, 'PUT', '/api/register', register)
  await send(server, 'POST', '/api/events', events)
})

/** Everything that is overdue in the database now. */
const overdueNow = async () => (await getDueWork(database.app, 'all', Date.now())).overdue
const subjects = (overdue: readonly Overdue[]) => overdue.map(({ subject }) => subject).sort()

/** The one overdue task of a product; fails where there is none or more than one. */
async function onlyOverdue(product: string): Promise<Overdue> {
  const found = (await overdueNow()).filter((one) => one.product === product)
  expect(found).toHaveLength(1)
  return found[0] as Overdue
}

const press = (page: Page, name: string | RegExp) => page.getByRole('button', { name }).click()
const choose = (page: Page, name: string, value: string) =>
  page.getByRole('combobox', { name }).selectOption(value)

/** Issues a kit with the values that the link filled in: not posted yet. */
async function issue(page: Page) {
  expect(await page.getByRole('combobox', { name: 'Posted' }).inputValue()).toBe('not yet')
  await press(page, 'Issue kits')
}

/** What the responsible person does on the page that resolves it, and the page's answer. */
const SETTLED: Record<OverdueKind, { act: (page: Page) => Promise<void>; answer: string | RegExp }> = {
  'duty with no kit': { act: issue, answer: '1 kit issued' },
  'kit not posted': { act: (page) => press(page, /^Posted today, /), answer: 'Saved: ' },
  'not cut': { act: (page) => press(page, 'Record: cut'), answer: 'Recorded: cut' },
  'not handed over': { act: (page) => press(page, 'Record: handed over'), answer: 'Recorded: handed over' },
  'under way too long': {
    act: async (page) => {
      // Nobody is to press in haste what may not have happened.
      expect(await page.getByRole('button', { name: /^Record: / }).count()).toBe(0)
      await page.getByRole('link', { name: 'delivered by the carrier' }).click()
      await press(page, 'Record: delivered by the carrier')
    },
    answer: 'Recorded: delivered',
  },
  'delivered but not received': {
    act: (page) => press(page, 'Record: received'),
    answer: 'Recorded: received',
  },
  'not loaded in time': {
    act: (page) => press(page, 'Record: loaded into the chamber'),
    answer: 'Recorded: in the chamber',
  },
  'lapsed with no re-collection': { act: issue, answer: '1 kit issued' },
  'deviation with no ruling': {
    act: async (page) => {
      await choose(page, 'Ruling', 'use with a note')
      await page.getByLabel('Why').first().fill('the inner bag is whole')
      await press(page, 'Record: rule on what was found')
    },
    answer: 'Recorded: ruling',
  },
  'form copy missing': {
    act: (page) => press(page, 'Record: copy of the form'),
    answer: 'Recorded: copy of the form',
  },
  'report late': { act: (page) => press(page, 'Record: report issued'), answer: 'Recorded: reported' },
}

/** The copy of the form is offered after a sample has left, until it was sent. */
async function sendCopy(page: Page) {
  const offer = page.getByRole('link', { name: 'Record that it was sent' })
  await offer.click()
  await press(page, 'Record: copy of the form')
  await page.getByText('Recorded: copy of the form').waitFor()
  expect(await offer.count()).toBe(0)
}

async function openFor(
  open: (options: object) => Promise<Page>,
  overdue: Overdue,
  options: object = {},
): Promise<Page> {
  const who = people[overdue.actor.by]
  const page = await open({ ...PHONE, as: { who, address: server.address }, ...options })
  await page.goto(`${server.address}${resolutionPath(overdue, makeResponsible(overdue.actor))}`)
  return page
}

test('everything that can be overdue is, and nothing else', async () => {
  const found = (await overdueNow()).map(({ kind, product }) => [product, kind])
  const copies = OVERDUE_KINDS.flatMap((kind) =>
    Array.from({ length: COPIES }, (_, copy) => [getProduct(kind, copy), kind]),
  )
  expect(Object.fromEntries(found)).toEqual(Object.fromEntries([...copies, ...Object.entries(OTHERWISE)]))
})

const chance = chanceFrom(getRunSeed())
describe.each(['with scripts', 'without scripts'])('on a phone %s', (how) => {
  const copy = how === 'with scripts' ? 0 : 1
  for (const kind of drawUsual(OVERDUE_KINDS, OVERDUE_KINDS.length / 2, chance))
    test(`“${kind}” is resolved by the responsible person, on the page it links to`, async ({ openPage }) => {
      const before = await overdueNow()
      const overdue = await onlyOverdue(getProduct(kind, copy))
      const page = await openFor(openPage, overdue, { javaScriptEnabled: copy === 0 })
      if (kind === 'not cut') expect(await readMain(page)).toContain('sharp blades')
      expect(await page.getByRole('link', { name: 'Record that it was sent' }).count()).toBe(0)
      await SETTLED[kind].act(page)
      await page.getByText(SETTLED[kind].answer).waitFor()
      expect(await page.getByRole('link', { name: 'what is still due' }).getAttribute('href')).toBe('/due')
      expect(subjects(await overdueNow())).toEqual(
        subjects(before).filter((subject) => subject !== overdue.subject),
      )
      if (kind === 'not handed over') await sendCopy(page)
    })
})

describe('an overdue task is resolved otherwise', () => {
  const other = async (page: Page, name: string) => {
    await page.getByText('Something else happened').click()
    await page.getByRole('link', { name, exact: true }).click()
    await page.getByRole('button', { name: `Record: ${name}` }).waitFor()
  }
  /** The sample’s page as the programme’s administrator has it. */
  const findSample = async (open: (options: object) => Promise<Page>, product: string) => {
    const overdue = await onlyOverdue(product)
    const page = await open({ ...PHONE, as: { who: server.administrator, address: server.address } })
    await page.goto(`${server.address}/samples/${overdue.sample}`)
    return { page, sample: overdue.sample as string }
  }

  test('by recording the kit that replaces it; a wrong code stays in its field', async ({ openPage }) => {
    const { page, sample } = await findSample(openPage, 'to be replaced')
    await other(page, 'replaced by another kit')
    const field = page.getByLabel('Code of the kit that replaces it')
    await field.fill(sample)
    await page.getByLabel('Why').first().fill('cut anew')
    await press(page, 'Record: replaced by another kit')
    await page.getByText('A kit cannot replace itself.').waitFor()
    expect([await field.inputValue(), await page.getByLabel('Why').first().inputValue()]).toEqual([
      sample,
      'cut anew',
    ])
    const { sample: another } = await onlyOverdue('past extending')
    await field.fill(another as string)
    await press(page, 'Record: replaced by another kit')
    await page.getByText('Recorded: replaced by another kit').waitFor()
    expect((await overdueNow()).filter(({ product }) => product === 'to be replaced')).toEqual([])
  })

  test('not by extending a limit: what has lapsed stays so', async ({ openPage }) => {
    const { page, sample } = await findSample(openPage, 'past extending')
    await page.getByText('Something else happened').click()
    await page.getByRole('link', { name: 'replaced by another kit' }).waitFor()
    expect(await page.getByRole('link', { name: 'extend a limit' }).count()).toBe(0)
    const until = new Date(Date.now() + 30 * DAY).toISOString().slice(0, 10)
    const extension = { kind: 'extended', limit: 'cut to chamber', untilDate: until, reason: 'late' }
    const { status, answer } = await recordAs(server, server.administrator, { ...extension, sample })
    expect([status, answer.detail]).toEqual([
      422,
      'The due of this limit has passed. What has lapsed cannot be extended.',
    ])
    expect((await onlyOverdue('past extending')).kind).toBe('lapsed with no re-collection')
  })

  test('by recording that it is lost: then it has to be cut again', async ({ openPage }) => {
    const { page } = await findSample(openPage, 'to be lost')
    await other(page, 'given up as lost')
    await page.getByLabel('Why').first().fill('the carrier cannot find it')
    await press(page, 'Record: given up as lost')
    await page.getByText('Recorded: lost').waitFor()
    const again = await onlyOverdue('to be lost')
    expect([again.kind, again.reason]).toEqual(['lapsed with no re-collection', 'lost'])
    await page.goto(`${server.address}${resolutionPath(again, makeResponsible(again.actor))}`)
    await press(page, 'Issue kits')
    await page.getByText('1 kit issued').waitFor()
    expect((await overdueNow()).filter(({ product }) => product === 'to be lost')).toEqual([])
  })

  test('by ruling “cut again”: then a kit is due', async ({ openPage }) => {
    const { page } = await findSample(openPage, 'to be cut again')
    await page.getByRole('link', { name: 'Rule on it' }).click()
    await press(page, 'Record: rule on what was found')
    await page.getByText('Choose a ruling.').waitFor()
    await choose(page, 'Ruling', 'cut again')
    await page.getByLabel('Why').first().fill('the bag was open')
    await press(page, 'Record: rule on what was found')
    await page.getByText('Recorded: ruling').waitFor()
    expect(await readMain(page)).toContain('Ruling: cut again; the bag was open.')
    const again = await onlyOverdue('to be cut again')
    expect([again.kind, again.reason]).toEqual(['lapsed with no re-collection', 'cut again'])
  })

  test('by ruling “use”, which only the programme may; a new deviation needs a ruling again', async ({
    openPage,
  }) => {
    const overdue = await onlyOverdue('to be used')
    const page = await openFor(openPage, overdue)
    await choose(page, 'Ruling', 'use')
    await page.getByLabel('Why').first().fill('the inner bag is whole')
    await press(page, 'Record: rule on what was found')
    await page.getByText('Recorded: ruling').waitFor()
    expect((await overdueNow()).filter(({ product }) => product === 'to be used')).toEqual([])

    const desk = await openPage({
      ...PHONE,
      javaScriptEnabled: false,
      as: { who: people.laboratory, address: server.address },
    })
    await desk.goto(`${server.address}/samples/${overdue.sample}`)
    expect(await readMain(desk)).toContain('Ruling: use; the inner bag is whole.')
    await desk.getByText('Something else happened').click()
    expect(await desk.getByRole('link', { name: 'rule on what was found' }).count()).toBe(0)
    await desk.getByRole('link', { name: 'report a deviation' }).click()
    await press(desk, 'Record: report a deviation')
    await desk.getByText('Say what was found.').waitFor()
    await desk.getByLabel('What was found').fill('the form names another lot')
    await press(desk, 'Record: report a deviation')
    await desk.getByText('Recorded: deviation found').waitFor()
    expect(await readMain(desk)).toMatch(
      /the form names another lot, .+ The programme has not ruled on it yet/,
    )
    expect(await desk.getByRole('link', { name: 'Rule on it' }).count()).toBe(0)
    await page.goto(`${server.address}/due`)
    expect(await readMain(page)).toMatch(
      /Rule on what was found on \S+\. Found: the form names another lot\./,
    )
  })
})
