import axe from 'axe-core'
import { beforeAll, describe, expect } from 'vitest'
import { ROUTES, type RouteName } from '@/lib/policy/routes'
import { browserTest as test } from '@/tests/setup/browser'
import { openSharedServer } from '@/tests/setup/sharedServer'
import type { ServedProgramme } from '../setup/signIn'
import { KITS } from './pagesProgramme'

let server: ServedProgramme
beforeAll(async () => {
  server = await openSharedServer('everyPage')
})

type PageRoute = Extract<RouteName, `page ${string}`>

/** An address of each page of the shared programme, as an administrator sees it; a page without one fails here. */
const ADDRESSES: Record<PageRoute, () => string | Promise<string>> = {
  'page /': () => '/',
  'page /plants/[code]': () => '/plants/PL1',
  'page /plants/[code]/history': () => '/plants/PL1/history',
  'page /samples/[code]': () => `/samples/${KITS.lapsed}`,
  'page /lanes': () => '/lanes',
  'page /lanes/[plant]/[laboratory]/[service]': () => '/lanes/PL1/LAB/road',
  'page /unplaced': () => '/unplaced',
  'page /sign-in': () => '/sign-in',
  'page /sign-in/link': () => `/sign-in/link?token=${'x'.repeat(43)}`,
  'page /sign-in/code': () => '/sign-in/code',
  'page /me': () => '/me',
  'page /digest': () => '/digest',
  'page /due': () => '/due',
  'page /keys': () => '/keys',
  'page /keys/new': () => '/keys/new',
  'page /audit': () => '/audit',
  'page /figures': () => '/figures',
  'page /lanes/score': () => '/lanes/score',
  'page /arrivals': () => '/arrivals',
  'page /receiving': () => '/receiving',
  'page /setup': () => '/setup',
  'page /setup/[list]': () => '/setup/protocols',
  'page /setup/[list]/[code]': () => '/setup/laboratories/LAB',
  'page /setup/add/[list]': () => '/setup/add/kits',
  'page /setup/changes/[id]': () => draftOfChange(),
  'page /setup/csv/[list]': () => '/setup/csv/plants',
  'page /setup/csv/people': () => '/setup/csv/people',
  'page /setup/labels': () => `/setup/labels?codes=${KITS.unused}`,
  'page /setup/office': () => '/setup/office',
  'page /setup/people': () => '/setup/people',
  'page /setup/people/changes/[id]': () => draftOfPeople(),
  'page /setup/people/[id]': () => `/setup/people/${server.administrator.personId}`,
}

/** Makes a draft of a change of plants, and returns where it waits to be confirmed. */
const draftOfChange = () =>
  drafted('/api/setup/csv', {
    list: 'plants',
    text: 'code,name,zone,maker\nPL3,A third plant,Europe/Lisbon,\n',
  })

/** The same of a list of people, of which a line is refused. */
const draftOfPeople = () =>
  drafted('/api/setup/people/csv', {
    text: 'email,name,role,place\na@example.org,A contact,plant contact,PL1\nb@example.org,B,plant contact,none\n',
  })

async function drafted(path: string, fields: Record<string, string>): Promise<string> {
  const form = new FormData()
  for (const [name, value] of Object.entries(fields)) form.set(name, value)
  const response = await fetch(server.address + path, {
    method: 'POST',
    headers: server.administrator.headers,
    body: form,
    redirect: 'manual',
  })
  const location = response.headers.get('location') ?? ''
  expect(location).toMatch(/^\/setup\/(people\/)?changes\//)
  return location
}

const pages = (Object.keys(ROUTES) as RouteName[]).filter((name): name is PageRoute =>
  name.startsWith('page '),
)

describe.each([
  { width: 1440, colorScheme: 'light' as const },
  { width: 390, colorScheme: 'dark' as const },
])('at $width pixels, $colorScheme', ({ width, colorScheme }) => {
  test.for(pages)('axe finds nothing on %s', async (name, { openPage }) => {
    const page = await openPage({ viewport: { width, height: 900 }, colorScheme })
    if (!name.startsWith('page /sign-in')) await server.administrator.addTo(page.context(), server.address)
    const response = await page.goto(server.address + (await ADDRESSES[name]()))
    expect(response?.status()).toBe(200)
    await page.locator('main h1').first().waitFor()
    // Evaluated by the debugger, which the content-security policy lets in, as it lets in no script of a page.
    await page.evaluate(axe.source)
    // Off unless asked for: what is pressed is 24 pixels high or has as much room, WCAG 2.2 SC 2.5.8.
    const rules = { 'target-size': { enabled: true } }
    const { violations } = await page.evaluate(
      (asked) => (window as unknown as { axe: typeof axe }).axe.run({ rules: asked }),
      rules,
    )
    expect(violations.map(({ id, nodes }) => [id, nodes.map(({ html }) => html.slice(0, 120))])).toEqual([])
  })
})
