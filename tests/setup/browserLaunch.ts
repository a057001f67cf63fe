import { execFile } from 'node:child_process'
import { existsSync } from 'node:fs'
import { mkdir, mkdtemp, readFile, rename, rm } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { type BrowserServer, chromium } from 'playwright-core'
import { buildChildEnvironment } from '@/lib/store/environment'

const installed = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome-stable',
  '/usr/bin/google-chrome',
  '/snap/bin/chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
]

/** Chromium talks only to the pages under test. As root it cannot create its sandbox. */
const quiet = [
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--no-first-run',
]
const launchArgs = process.getuid?.() === 0 ? [...quiet, '--no-sandbox'] : quiet

export interface RunningBrowser {
  /** The endpoint for `chromium.connect` in another process. */
  endpoint: string
  /** Like "Chromium 147.0.7727.0 (carried by npm)". */
  name: string
  stop(): Promise<void>
}

/**
 * Starts the Chromium of the npm package, so that every machine tests with the one a newcomer has; else the system's.
 * @returns the browser, or why none starts, in a sentence.
 */
export async function startBrowser(): Promise<RunningBrowser | { reason: string }> {
  const choices = [
    { from: 'carried by npm', path: findBundledPath },
    ...installed.filter((path) => existsSync(path)).map((path) => ({ from: path, path: async () => path })),
  ]
  const failures: string[] = []
  for (const { from, path } of choices) {
    try {
      return await toRunningBrowser(
        from,
        await chromium.launchServer({ executablePath: await path(), args: launchArgs }),
      )
    } catch (error) {
      failures.push(`${from}: ${String((error as Error).message).split('\n')[0]}`)
    }
  }
  return { reason: `no Chromium starts (${failures.join('; ')})` }
}

async function toRunningBrowser(from: string, server: BrowserServer): Promise<RunningBrowser> {
  const endpoint = server.wsEndpoint()
  const browser = await chromium.connect(endpoint)
  const name = `Chromium ${browser.version()} (${from})`
  await browser.close()
  return { endpoint, name, stop: () => server.close() }
}

const modules = fileURLToPath(new URL('../../node_modules', import.meta.url))

/**
 * The Chromium of the npm package (Linux on x64 only), unpacked once per version. The package unpacks into the
 * temporary folder and trusts whatever it finds there, so it gets an empty one that is renamed once complete. The
 * package's own arguments are not used: they are for servers with one page per process, and with `--single-process`
 * Chromium dies when its first context closes.
 */
async function findBundledPath(): Promise<string> {
  const about = await readFile(join(modules, '@sparticuz/chromium/package.json'), 'utf8')
  const { version } = JSON.parse(about) as { version: string }
  const folder = join(modules, '.cache', `chromium-${version}`)
  if (!existsSync(folder)) await unpackBundled(folder)
  return join(folder, 'chromium')
}

async function unpackBundled(folder: string): Promise<void> {
  await mkdir(dirname(folder), { recursive: true })
  const fresh = await mkdtemp(join(dirname(folder), 'unpacking-'))
  const unpack = `await (await import('@sparticuz/chromium')).default.executablePath()`
  try {
    await promisify(execFile)(process.execPath, ['--input-type=module', '-e', unpack], {
      cwd: modules,
      env: buildChildEnvironment({ TMPDIR: fresh }),
    })
    await rename(fresh, folder)
  } catch (error) {
    await rm(fresh, { recursive: true, force: true })
    // Another run may have been faster.
    if (!existsSync(folder)) throw error
  }
}
