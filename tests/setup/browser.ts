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
  /** Console errors that the test expects, as for a missing page. */
  expectedErrors?: RegExp[]
  /** Who is signed in, and at which URL. */
  as?: { who: SignedIn; address: string }
}

interface BrowserFixtures {
  /** The browser of the run, connected once per worker; or why there is none. */
  connection: Browser | { reason: string }
  browser: Browser
  /** Errors reported by the test's pages; any left at the end fail the test. */
  pageErrors: string[]
  /** Opens a page in a context of its own. An error on its console or in its scripts fails the test. */
  openPage: (options?: PageOptions) => Promise<Page>
  /** A page opened without options. */
  page: Page
}

/** `test` with the browser of the run; skipped with a reason if there is none. */
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
 * The text of a page's content, once the page is loaded: a click returns when navigation starts, and an earlier read
 * could get half of the page.
 */
export async function readMain(page: Page): Promise<string> {
  await page.waitForLoadState('domcontentloaded')
  return (await page.locator('main').textContent()) ?? ''
}

/** Prints the pages of a failed test, for readers who have only the log of CI. */
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

/** From now on, every page of this test file is opened by someone signed in, unless it sets `as`. */
export function visitAs(who: SignedIn, address: string): void {
  visiting = { who, address }
  atEndOfFile(() => {
    visiting = undefined
  })
}
