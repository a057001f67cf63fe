import { beforeAll, describe, expect, test } from 'vitest'
import { issueKitCode } from '@/lib/custody/kitCode'
import { minimalStandard } from '@/tests/bench/manyEvents'
import { smallRegister } from '@/tests/cases/smallProgramme'
import { browserTest, visitAs } from '@/tests/setup/browser'
import { freshDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { send } from './pagesProgramme'

/** What a plant might call itself, were it out to have others' browsers run something. */
const HOSTILE =
  '</script><script>window.hasRun=1</script><img src=x onerror="window.hasRun=1"><style>*{color:red}</style>'
const KIT = issueKitCode(minimalStandard(991))

let server: TestServer & { administrator: SignedIn }
beforeAll(async () => {
  const database = await freshDatabase()
  const started = await startTestServer(database.url)
  server = { ...started, administrator: await signInAs(database, ADMINISTRATOR) }
  visitAs(server.administrator, server.address)
  const register = smallRegister({
    plants: [{ code: 'PL1', name: HOSTILE, zone: 'Europe/Lisbon' }],
    products: [{ code: 'FELT', plant: 'PL1', name: HOSTILE, protocol: 'TEN' }],
    kits: [{ code: KIT, product: 'FELT', plant: 'PL1', laboratory: 'LAB', issuedAt: '2026-09-01T08:00:00Z' }],
  })
  await send(server, 'PUT', '/api/register', register)
  const at = new Date(Date.now() - 3_600_000).toISOString()
  await send(server, 'POST', '/api/events', [
    {
      source: HOSTILE.replaceAll('/', ' '),
      id: HOSTILE,
      sample: KIT,
      kind: 'collected',
      at,
      facts: { note: HOSTILE },
    },
    { source: 'desk', id: '3', sample: KIT, kind: 'dispatched', at, service: 'road', waybill: 'W3' },
    {
      source: 'desk',
      id: '2',
      kind: 'scanned',
      at,
      service: HOSTILE.slice(0, 20),
      waybill: 'W1',
      facts: { note: HOSTILE },
    },
  ])
})

const ask = (path: string, headers: Record<string, string> = {}) =>
  fetch(server.address + path, { headers: { ...server.administrator.headers, ...headers } })

const paths = [
  '/sign-in',
  '/',
  `/?search=${encodeURIComponent(HOSTILE)}`,
  '/plants/PL1',
  '/plants/PL1/history',
  `/samples/${KIT}`,
  '/lanes',
  '/lanes/PL1/LAB/road',
  '/unplaced',
  '/audit',
  '/figures',
  '/me',
  '/digest',
  '/setup',
  '/setup/laboratories/LAB',
  '/setup/plants/PL1',
  '/keys',
  '/keys/new',
  '/arrivals',
  '/receiving',
  '/no/such/page',
  '/samples/none',
]
const directives = (answer: Response) =>
  new Map(
    (answer.headers.get('content-security-policy') ?? '').split('; ').map((one) => {
      const [name = '', ...values] = one.split(' ')
      return [name, values] as const
    }),
  )
const nonceOf = (answer: Response) =>
  /'nonce-([^']+)'/.exec(answer.headers.get('content-security-policy') ?? '')?.[1]

describe('every answer says how a browser is to treat it', () => {
  test.each([...paths, '/api/health', '/api/board', '/api/nowhere', '/icon.svg'])('%s', async (path) => {
    const answer = await ask(path)
    const said = directives(answer)
    expect([...said.values()].flat()).not.toContain("'unsafe-inline'")
    expect([...said.values()].flat()).not.toContain("'unsafe-eval'")
    expect(said.get('default-src')).toEqual(["'none'"])
    expect(said.get('script-src')).toEqual([`'nonce-${nonceOf(answer)}'`, "'strict-dynamic'"])
    for (const name of ['base-uri', 'object-src', 'frame-ancestors'])
      expect(said.get(name)).toEqual(["'none'"])
    for (const name of ['form-action', 'connect-src', 'img-src']) expect(said.get(name)).toEqual(["'self'"])
    expect(Object.fromEntries(answer.headers)).toMatchObject({
      'referrer-policy': 'same-origin',
      'x-content-type-options': 'nosniff',
      'x-frame-options': 'DENY',
      'cross-origin-opener-policy': 'same-origin',
      'cross-origin-resource-policy': 'same-origin',
      'permissions-policy': expect.stringContaining('geolocation=()'),
    })
    expect(answer.headers.has('strict-transport-security')).toBe(false)
    expect(answer.headers.has('x-powered-by')).toBe(false)
  })

  test('a mail in a frame of ours runs nothing, loads nothing and is of no site', async () => {
    for (const path of ['/api/digest/html', '/api/digest/html?occasion=none&x=/']) {
      const answer = await ask(path)
      expect(Object.fromEntries(directives(answer))).toEqual({
        'default-src': ["'none'"],
        'style-src': ["'unsafe-inline'"],
        'form-action': ["'none'"],
        'base-uri': ["'none'"],
        'frame-ancestors': ["'self'"],
        sandbox: ['allow-popups', 'allow-popups-to-escape-sandbox'],
      })
      expect(answer.headers.get('x-frame-options')).toBe('SAMEORIGIN')
    }
    expect(directives(await ask('/digest')).get('frame-src')).toEqual(["'self'"])
  })

  test.each(paths)(
    'a page has a nonce of its own each time, on every script, and is kept by nobody: %s',
    async (path) => {
      const answers = await Promise.all([1, 2, 3].map(() => ask(path)))
      expect(new Set(answers.map(nonceOf)).size).toBe(3)
      for (const answer of answers) {
        expect(answer.headers.get('cache-control')).toContain('no-store')
        const html = await answer.text()
        const scripts = html.match(/<script\b[^>]*>/g) ?? []
        expect(scripts.length).toBeGreaterThan(0)
        for (const script of scripts) expect(script).toContain(`nonce="${nonceOf(answer)}"`)
        expect(html).not.toMatch(/<[^>]+\sstyle=/)
      }
    },
  )

  test('the asker cannot choose the nonce', async () => {
    const chosen = "script-src 'nonce-chosenbyme'"
    const answer = await ask('/', {
      'content-security-policy': chosen,
      'content-security-policy-report-only': chosen,
      'x-nonce': 'chosenbyme',
    })
    expect(await answer.text()).not.toContain('nonce="chosenbyme"')
    expect(nonceOf(answer)).not.toBe('chosenbyme')
  })

  test('keeps a browser on https where a proxy says that it came so', async () => {
    const answer = await ask('/', { 'x-forwarded-proto': 'https' })
    expect(answer.headers.get('strict-transport-security')).toMatch(/^max-age=\d{7,}$/)
  })
})

describe('in a browser', () => {
  for (const path of paths)
    browserTest(
      `the page works under its policy, and what others wrote does not run: ${path}`,
      async ({ openPage }) => {
        // Any violation is an error on the console, which fails the test.
        const page = await openPage({ expectedErrors: [/404 \(Not Found\)/] })
        await page.goto(server.address + path, { waitUntil: 'networkidle' })
        expect(await page.evaluate(() => 'hasRun' in window)).toBe(false)
        expect(await page.evaluate(() => document.styleSheets.length)).toBeGreaterThan(0)
        await page.locator('header a[href="/"]').first().click()
        await page.waitForURL(`${server.address}/`)
      },
    )

  browserTest(
    'a script and a handler that get into a page are refused by the browser',
    async ({ openPage }) => {
      const page = await openPage({ expectedErrors: [/Content Security Policy/] })
      await page.goto(server.address)
      const refused = await page.evaluate(
        () =>
          new Promise<string[]>((resolve) => {
            const names: string[] = []
            document.addEventListener('securitypolicyviolation', ({ effectiveDirective }) => {
              names.push(effectiveDirective)
              if (names.length === 3) resolve(names.sort())
            })
            document.body.insertAdjacentHTML('beforeend', '<img src="/icon.svg" onload="window.hasRun=1">')
            document.body.insertAdjacentHTML('beforeend', '<p style="color: red">a</p>')
            const script = document.createElement('div')
            script.innerHTML = '<iframe src="javascript:parent.hasRun=1"></iframe>'
            document.body.append(script)
          }),
      )
      expect(refused).toContain('script-src-attr')
      expect(refused).toContain('style-src-attr')
      expect(await page.evaluate(() => 'hasRun' in window)).toBe(false)
    },
  )
})
