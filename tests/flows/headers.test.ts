import { beforeAll, describe, expect, test } from 'vitest'
import { browserTest, visitAs } from '@/tests/setup/browser'
import { openSharedServer } from '@/tests/setup/sharedServer'
import type { ServedProgramme } from '../setup/signIn'
import { HOSTILE, HOSTILE_KIT, HOSTILE_PLANT } from './everyPageProgramme'

let server: ServedProgramme
beforeAll(async () => {
  server = await openSharedServer('everyPage')
  visitAs(server.administrator, server.address)
})

const ask = (path: string, headers: Record<string, string> = {}) =>
  fetch(server.address + path, { headers: { ...server.administrator.headers, ...headers } })

const paths = [
  '/sign-in',
  '/',
  `/?search=${encodeURIComponent(HOSTILE)}`,
  `/plants/${HOSTILE_PLANT}`,
  `/plants/${HOSTILE_PLANT}/history`,
  `/samples/${HOSTILE_KIT}`,
  '/lanes',
  `/lanes/${HOSTILE_PLANT}/LAB/road`,
  '/unplaced',
  '/audit',
  '/server',
  '/figures',
  '/me',
  '/digest',
  '/setup',
  '/setup/laboratories/LAB',
  `/setup/plants/${HOSTILE_PLANT}`,
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
const findNonce = (answer: Response) =>
  /'nonce-([^']+)'/.exec(answer.headers.get('content-security-policy') ?? '')?.[1]

describe('every answer says how a browser is to treat it', () => {
  test.each([...paths, '/api/health', '/api/board', '/api/nowhere', '/icon.svg'])('%s', async (path) => {
    const answer = await ask(path)
    const said = directives(answer)
    expect([...said.values()].flat()).not.toContain("'unsafe-inline'")
    expect([...said.values()].flat()).not.toContain("'unsafe-eval'")
    expect(said.get('default-src')).toEqual(["'none'"])
    expect(said.get('script-src')).toEqual([`'nonce-${findNonce(answer)}'`, "'strict-dynamic'"])
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
      expect(new Set(answers.map(findNonce)).size).toBe(3)
      for (const answer of answers) {
        expect(answer.headers.get('cache-control')).toContain('no-store')
        const html = await answer.text()
        const scripts = html.match(/<script\b[^>]*>/g) ?? []
        expect(scripts.length).toBeGreaterThan(0)
        for (const script of scripts) expect(script).toContain(`nonce="${findNonce(answer)}"`)
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
    expect(findNonce(answer)).not.toBe('chosenbyme')
  })

  test('keeps a browser on https where a proxy says that it came so', async () => {
    const answer = await ask('/', { 'x-forwarded-proto': 'https' })
    expect(answer.headers.get('strict-transport-security')).toMatch(/^max-age=\d{7,}$/)
  })
})

test.each(['/', `/plants/${HOSTILE_PLANT}`, `/samples/${HOSTILE_KIT}`, '/lanes', '/unplaced'])(
  'what others wrote stands as text on the page %s',
  async (path) => {
    const html = await (await ask(path)).text()
    expect(html).toContain('&lt;/script&gt;&lt;script&gt;win')
    expect(html).not.toContain('</script><script>win')
  },
)

describe('in a browser', () => {
  for (const path of paths)
    browserTest(
      `the page works under its policy, asks for no page that nobody opened, and what others wrote does not run: ${path}`,
      async ({ openPage }) => {
        // Any violation is an error on the console, which fails the test.
        const page = await openPage({ expectedErrors: [/404 \(Not Found\)/] })
        const askedFor: string[] = []
        page.on('request', (request) => askedFor.push(request.url()))
        await page.goto(server.address + path, { waitUntil: 'networkidle' })
        // Next marks its own requests for other pages with this parameter.
        expect(askedFor.filter((url) => url.includes('_rsc='))).toEqual([])
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
            const names = new Set<string>()
            document.addEventListener('securitypolicyviolation', ({ effectiveDirective }) => {
              names.add(effectiveDirective)
              if (names.has('script-src-attr') && names.has('style-src-attr')) resolve([...names])
            })
            document.body.insertAdjacentHTML('beforeend', '<img src="/icon.svg" onload="window.hasRun=1">')
            document.body.insertAdjacentHTML('beforeend', '<p style="color: red">a</p>')
            const script = document.createElement('div')
            script.innerHTML = '<iframe src="javascript:parent.hasRun=1"></iframe>'
            document.body.append(script)
          }),
      )
      // The number and order of violations is up to the browser, which checks a handler when its event fires.
      expect(refused).toEqual(expect.arrayContaining(['script-src-attr', 'style-src-attr']))
      expect(await page.evaluate(() => 'hasRun' in window)).toBe(false)
    },
  )
})
