import {
  type Browser,
  type BrowserContext,
  type BrowserContextOptions,
  chromium,
  type Page,
} from 'playwright-core'
import { test as base, inject } from 'vitest'
import { atEndOfFile } from './endOfFile'
import type { SignedIn } from './signIn'

export interface PageOptions extends BrowserContextOptions {
  /** Errors on the console that belong to the test, as when it asks for a page that is not there. */
  expectedErrors?: RegExp[]
  /** Who is signed in, and at which address. */
  as?: { who: SignedIn; address: string }
}

interface BrowserFixtures {
  /** The browser of the run, connected to once for each process of tests; or why there is none. */
  connection: Browser | { reason: string }
  browser: Browser
  /** What the test's pages have reported as errors; what is still in it at the end of the test fails the test. */
  pageErrors: string[]
  /** Opens a page in a context of its own. An error on its console or in its scripts fails the test that opened it. */
  openPage: (options?: PageOptions) => Promise<Page>
  /** A page as `openPage` opens it without options. */
  page: Page
}

/** `test` with the browser of the run; where there is none, skipped with why. */
export const browserTest = base.extend<BrowserFixtures>({
  connection: [
    // biome-ignore lint/correctness/noEmptyPattern: vitest reads from it that nothing else is needed.
    async ({}, use) => {
      const shared = inject('browser')
      if ('reason' in shared) return use(shared)
      const connection = await chromium.connect(shared.endpoint)
      await use(connection)
      await connection.close()
    },
    { scope: 'worker' },
  ],
  browser: async ({ connection, skip }, use) => {
    if ('reason' in connection) return skip(connection.reason)
    await use(connection)
  },
  pageErrors: async ({ skip: _ }, use) => use([]),
  openPage: async ({ browser, pageErrors, task }, use) => {
    const contexts: BrowserContext[] = []
    await use(async ({ expectedErrors = [], as, ...options } = {}) => {
      const context = await browser.newContext({ locale: 'en-GB', timezoneId: 'UTC', ...options })
      contexts.push(context)
      await (as ?? visiting)?.who.addTo(context, (as ?? visiting)?.address ?? '')
      const page = await context.newPage()
      const note = (text: string) => {
        if (!expectedErrors.some((expected) => expected.test(text))) pageErrors.push(text)
      }
      page.on('console', (message) => {
        if (message.type() === 'error') note(`console: ${message.text()} (${message.location().url})`)
      })
      page.on('pageerror', (error) => note(`script: ${error.stack ?? error.message}`))
      return page
    })
    if (task.result?.state === 'fail') for (const context of contexts) await logOpenPages(context)
    for (const context of contexts) await context.close()
    if (pageErrors.length > 0) throw new Error(`The page reported errors:\n${pageErrors.join('\n')}`)
  },
  page: async ({ openPage }, use) => use(await openPage()),
})

/**
 * The text of a page's content, once all of the page has come: a press ends when the page that it leads to begins, and who
 * reads then may find half of it.
 */
export async function readMain(page: Page): Promise<string> {
  await page.waitForLoadState('domcontentloaded')
  return (await page.locator('main').textContent()) ?? ''
}

/** Prints what the pages of a test that failed were showing, for who has nothing but what CI printed. */
async function logOpenPages(context: BrowserContext): Promise<void> {
  for (const page of context.pages()) {
    const body = await page
      .evaluate(() => {
        const copy = document.body.cloneNode(true) as HTMLElement
        for (const script of copy.querySelectorAll('script, style, svg')) script.remove()
        return `${document.readyState}, ${document.visibilityState}: ${copy.innerHTML.slice(0, 6_000)}`
      })
      .catch((error: unknown) => String(error))
    console.log(`When the test failed, ${page.url()} was ${body}`)
  }
}

let visiting: PageOptions['as']

/** From now on every page of this test file is opened by someone signed in, unless it says who. */
export function visitAs(who: SignedIn, address: string): void {
  visiting = { who, address }
  atEndOfFile(() => {
    visiting = undefined
  })
}
