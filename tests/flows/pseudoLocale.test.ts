import type { Page } from 'playwright-core'
import { beforeAll, describe, expect } from 'vitest'
import { previewMails } from '@/lib/digest/delivery/previewMails'
import { buildFeedEntries } from '@/lib/judgement/feedEntries'
import { pseudo } from '@/lib/messages/pseudo'
import { getDueWork } from '@/lib/store/read/due/dueWork'
import { loadDemo } from '@/prisma/demo/load'
import { browserTest as test } from '@/tests/setup/browser'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { drawUsual } from '@/tests/setup/drawUsual'
import { startTestServer } from '@/tests/setup/server'
import { openSharedServer } from '@/tests/setup/sharedServer'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'
import { ADMINISTRATOR, type ServedProgramme, type SignedIn, signInAs } from '../setup/signIn'
import { getPageAddress, PAGES, type PageRoute } from './pageAddresses'
import {
  type ForeignText,
  findCutOff,
  findForeign,
  findForeignTexts,
  getMailContext,
  type KnownTexts,
  readData,
} from './pseudoLocale'

const PSEUDO = { locale: 'en-XA', viewport: { width: 1440, height: 900 } }

describe('each page in the pseudo-locale', () => {
  let server: ServedProgramme
  let data: KnownTexts
  const addresses = new Map<PageRoute, string>()
  beforeAll(async () => {
    server = await openSharedServer('everyPage')
    // Drafts are made by asking for their addresses.
    for (const name of PAGES) addresses.set(name, await getPageAddress(server, name))
    data = await readData(server.database, { withMails: true })
  })

  // The demo below has each of them in its usual run; here they are also looked at in other widths.
  test.for(drawUsual(PAGES, 10))(
    'has its sentences from the catalogue and room for half as much again: %s',
    async (name, { openPage }) => {
      const page = await openPage(PSEUDO)
      if (!name.startsWith('page /sign-in')) await server.administrator.addTo(page.context(), server.address)
      const response = await page.goto(addresses.get(name) as string)
      expect(response?.status()).toBe(200)
      await page.locator('main h1').first().waitFor()
      expect(await findForeignTexts(page, data)).toEqual([])
      for (const width of [1440, 768, 390]) {
        await page.setViewportSize({ width, height: 900 })
        expect(await findCutOff(page), `at ${width} px`).toEqual([])
      }
    },
  )
})

/** The first page of a plant computes its advice, and a busy machine takes long for it, ms. */
const PAGE_TIMEOUT_MS = 120_000

/** The score is made while its page is read and after, and the pages that follow would wait for it. */
const LAST_PAGE: PageRoute = 'page /lanes/score'

/** Windows in which the demo is looked at; a test machine has two cores. */
const PARALLEL_PAGES = 2

/** So many addresses of each page are looked at in the demo. */
const MAX_ADDRESSES = chooseUsualOrLong({ usual: 1, long: 3 })
const MAX_SAMPLES = chooseUsualOrLong({ usual: 2, long: 12 })

describe('the demo in the pseudo-locale', () => {
  let address: string
  let data: KnownTexts
  let administrator: SignedIn
  let database: TestDatabase
  beforeAll(async () => {
    database = await makeTestDatabase()
    await loadDemo(database.app, Date.now())
    administrator = await signInAs(database, ADMINISTRATOR)
    const [plant] = await listPlants(database)
    await signInAs(database, { plants: [plant?.code as string] })
    await signInAs(database, { laboratories: await listLaboratories(database) })
    data = await readData(database, { withMails: true })
    address = (await startTestServer(database.url)).address
  })

  test('has every sentence from the catalogue, and nothing is cut off', async ({ openPage }) => {
    const pages = await Promise.all(
      Array.from({ length: PARALLEL_PAGES }, () =>
        openPage({
          ...PSEUDO,
          viewport: { width: 390, height: 900 },
          as: { who: administrator, address },
        }),
      ),
    )
    const found = new Map<string, ForeignText | string>()
    const visited = await crawl(pages, address, async (page, path) => {
      for (const one of await findForeignTexts(page, data))
        found.set(one.left, { ...one, where: `${path} ${one.where}` })
      for (const one of await findCutOff(page)) found.set(one, `${path}: ${one}`)
    })
    expect([...found.values()]).toEqual([])
    expect(visited.size).toBeGreaterThanOrEqual(20)
  })

  test('has every sentence of its weekly mails and calendars from the catalogue', async () => {
    await database.owner.query(
      `insert into digest_preference (person_id, language) select id, 'en-XA' from person
       on conflict (person_id) do update set language = 'en-XA'`,
    )
    const mails = (await previewMails(getMailContext(database), null, Date.now())).filter(
      ({ text }) => text !== null,
    )
    expect(mails.length).toBeGreaterThanOrEqual(3)
    const facts = await readData(database, { withMails: false })
    // A line of a mail ends where it is full; links are data.
    const texts = mails.map(({ name, subject, text }) => ({
      where: name,
      text: `${subject} ${text?.replace(/\S*https?:\S*/g, '')}`,
    }))
    expect(findForeign(texts, facts)).toEqual([])
    for (const plant of await listPlants(database)) {
      const work = await getDueWork(database.app, { plants: [plant.code], laboratories: [] }, Date.now())
      const entries = buildFeedEntries(pseudo, work, plant.code, plant.zone, Date.now())
      const lines = entries.flatMap(({ summary, description }) => [summary, ...description.split('\n')])
      const found = findForeign(
        lines.map((text) => ({ where: plant.code, text })),
        facts,
      )
      expect(found).toEqual([])
    }
  })
})

/**
 * Follows the links of a signed-in person from the board, a few addresses of each page, in several windows at once: while
 * the server renders one page, the browser lays out another. Returns which pages it saw.
 */
async function crawl(
  pages: readonly Page[],
  address: string,
  look: (page: Page, path: string) => Promise<void>,
): Promise<Set<PageRoute>> {
  const counts = new Map<PageRoute, number>()
  const paths = new Set(['/'])
  const left = [...paths]
  const add = (path: string) => {
    if (!paths.has(path)) left.push(path)
    paths.add(path)
  }
  const takeNext = (): string | undefined => {
    while (left.length > 0) {
      const sooner = left.findIndex((one) => findRoute(one) !== LAST_PAGE)
      const [path = '/'] = left.splice(Math.max(0, sooner), 1)
      const route = findRoute(path)
      const most = route === 'page /samples/[code]' ? MAX_SAMPLES : MAX_ADDRESSES
      if (!route || (counts.get(route) ?? 0) >= most) continue
      counts.set(route, (counts.get(route) ?? 0) + 1)
      return path
    }
    return undefined
  }
  const visit = async (page: Page, path: string) => {
    await page.goto(address + path, { timeout: PAGE_TIMEOUT_MS })
    await page.locator('main h1').first().waitFor()
    await look(page, path)
    for (const link of await page
      .locator('a[href^="/"]')
      .evaluateAll((all) => all.map((one) => one.getAttribute('href'))))
      if (link) add(link.replace(/#.*/, ''))
  }
  const first = takeNext()
  if (first !== undefined) await visit(pages[0] as Page, first)
  await Promise.all(
    pages.map(async (page) => {
      for (let path = takeNext(); path !== undefined; path = takeNext()) await visit(page, path)
    }),
  )
  return new Set(counts.keys())
}

function findRoute(path: string): PageRoute | undefined {
  const plain = path.replace(/\?.*/, '')
  return PAGES.find((name) =>
    new RegExp(`^${name.slice('page '.length).replace(/\[\w+\]/g, '[^/]+')}$`).test(plain),
  )
}

const listPlants = ({ owner }: TestDatabase) => listPlaces(owner, 'plant')
const listLaboratories = async ({ owner }: TestDatabase) =>
  (await listPlaces(owner, 'laboratory')).map(({ code }) => code)

async function listPlaces(
  owner: TestDatabase['owner'],
  kind: string,
): Promise<{ code: string; zone: string }[]> {
  const { rows } = await owner.query(
    `select distinct on (code) code, content ->> 'zone' as zone from register_entry where kind = $1 order by code, seq desc`,
    [kind],
  )
  return rows
}
