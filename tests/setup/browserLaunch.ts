import { existsSync } from 'node:fs'
import { type Browser, chromium } from 'playwright-core'

const installed = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome-stable',
  '/usr/bin/google-chrome',
  '/snap/bin/chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
]

/** Chromium speaks to nobody but the pages under test; as root it can not make its sandbox. */
const quiet = [
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--no-first-run',
]
const launchArgs = process.getuid?.() === 0 ? [...quiet, '--no-sandbox'] : quiet

/** A browser that runs and a name for it, or why none does. */
export type Found = { browser: Browser; name: string } | { reason: string }

/** The Chromium that npm carries, so that a machine with one of its own tests what a newcomer's does; else the system's. */
export async function findBrowser(): Promise<Found> {
  const failures: string[] = []
  try {
    return named('that npm carries', await launchCarried())
  } catch (error) {
    failures.push(`@sparticuz/chromium does not start: ${firstLine(error)}`)
  }
  for (const executablePath of installed.filter((path) => existsSync(path))) {
    try {
      return named(executablePath, await chromium.launch({ executablePath, args: launchArgs }))
    } catch (error) {
      failures.push(`${executablePath} does not start: ${firstLine(error)}`)
    }
  }
  return { reason: `no browser: ${failures.join('; ')}` }
}

function named(which: string, browser: Browser): Found {
  return { browser, name: `Chromium ${browser.version()} (${which})` }
}

/**
 * The Chromium that npm carries (Linux on x64 only). Its package's own arguments are for servers that run one page a process:
 * with `--single-process` it dies when its first context closes.
 */
export async function launchCarried(): Promise<Browser> {
  const { default: carried } = await import('@sparticuz/chromium')
  return chromium.launch({ executablePath: await carried.executablePath(), args: launchArgs })
}

function firstLine(error: unknown): string {
  return String((error as Error).message).split('\n')[0] ?? ''
}
