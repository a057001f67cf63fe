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

export type Found = { browser: Browser } | { reason: string }

/** The system's Chromium or Chrome, else the one that npm carries; or why none of them starts. */
export async function findBrowser(): Promise<Found> {
  const failures: string[] = []
  for (const executablePath of installed.filter((path) => existsSync(path))) {
    try {
      return { browser: await chromium.launch({ executablePath, args: launchArgs }) }
    } catch (error) {
      failures.push(`${executablePath} does not start: ${firstLine(error)}`)
    }
  }
  try {
    return { browser: await launchCarried() }
  } catch (error) {
    failures.push(`@sparticuz/chromium does not start: ${firstLine(error)}`)
  }
  return { reason: `no browser: ${failures.join('; ')}` }
}

/** The Chromium that npm carries (Linux on x64 only). */
export async function launchCarried(): Promise<Browser> {
  const { default: carried } = await import('@sparticuz/chromium')
  return chromium.launch({
    executablePath: await carried.executablePath(),
    args: [...carried.args, ...launchArgs],
  })
}

function firstLine(error: unknown): string {
  return String((error as Error).message).split('\n')[0] ?? ''
}
