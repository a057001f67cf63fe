import { setTimeout as wait } from 'node:timers/promises'
import { getMailSettings } from '@/lib/digest/delivery/mail'
import { startMails } from '@/lib/digest/delivery/startMails'
import { getEnvironment } from '@/lib/store/environment'
import { getDatabaseName } from '@/lib/store/migrate/databases'
import { ensureSignInSecret } from '@/lib/store/site'
import type { Programme } from './chooseProgramme'
import { growPause, keepRunning } from './keepRunning'
import type { Logging } from './launcherLog'
import { deriveWhileServing } from './rederive'
import { scheduleBackups } from './scheduleBackups'
import { writeServedNote } from './servedNote'
import { formatError, log, runStep } from './steps'
import { startWebServer, type WebServer, type WebServerOptions } from './webServer'

/** What serves one programme: a web server and, unless it is the demo, the delivery of its mails. */
export interface Serving {
  programme: Programme
  port: number
  /** As of a web server. */
  handOver: WebServer['handOver']
  /** @returns a sentence about what did not end in time and is cut off; null if everything ended. */
  stop(): Promise<string | null>
}

/** How long requests, mails and other work in hand may delay the end, so that all ends within ten seconds, ms. */
const STOP_TIMEOUT_MS = 5_000

export interface ServeOptions {
  /** The first port to try; it takes the next free one, unless it serves after `before`. */
  firstPort: number
  /** What served until now and hands over its socket; the caller stops it afterwards. */
  before?: Serving
  isDev: boolean
  log: Logging | undefined
}

/**
 * Serves a programme. The web server and the mails are started again if they die.
 * @throws StepFailed if the web server cannot be started.
 */
export async function serveProgramme(
  programme: Programme,
  { firstPort, before, isDev, log: logging }: ServeOptions,
): Promise<Serving> {
  const { url, isDemo } = programme
  const { dataDir } = getEnvironment()
  const database = getDatabaseName(url)
  let port = firstPort
  let server: WebServer | null = null
  const stopWeb = await runStep('Web server', async () => {
    const value = await keepRunning<WebServer>({
      // Bookmarks and a proxy point to the port of the first start, so a later one waits for it.
      start: async (died) => {
        const options = { databaseUrl: url, port, isDev, log: logging }
        if (died) server = await startWebServer({ ...options, mayMove: false })
        else if (before) server = await startAfter({ ...options, before })
        else server = await startWebServer(options)
        port = server.port
        writeServedNote(dataDir, { address: getAddress(port), database, pid: process.pid })
        return server
      },
      onDeath: reportDeath('Web server'),
      onRestart: (web) => log('✓', 'Web server', `Serves again on ${getAddress(web.port)}.`),
    })
    return { summary: describe(firstPort, port), value }
  })
  const address = getAddress(port)
  const stopDeriving = deriveWhileServing(url)
  // The demo's people are invented, so the demo sends no mail.
  const stopMails = isDemo ? nothing : await keepMails(url, address)
  const stopBackups = isDemo ? nothing : await scheduleBackups(url)
  log('✓', 'Holdfast', `Serving ${isDemo ? 'the demo' : 'your'} programme on ${address} (Ctrl-C stops it)`)
  return {
    programme,
    get port() {
      return port
    },
    async handOver() {
      const socket = (await server?.handOver()) ?? null
      // One that died would be started again, and would take the port from the one that comes after it.
      if (socket === null) await stopWeb()
      return socket
    },
    async stop() {
      const parts = {
        'the web server': stopWeb,
        'the mails': stopMails,
        'the recomputing of samples': stopDeriving,
        'the backup': stopBackups,
      }
      const late = new Set(await stopAll(parts))
      // It is killed before the others are given up, so that none is left.
      if (server?.wasKilled()) late.add('the web server')
      return late.size > 0 ? `Cut off, because it did not end in time: ${[...late].join(', ')}.` : null
    },
  }
}

/** Starts a server that takes over from `before`, and starts it again as one that died: what serves until now goes on. */
async function startAfter(options: WebServerOptions): Promise<WebServer> {
  for (let pauseMs: number | null = null; ; ) {
    const startedAt = Date.now()
    try {
      return await startWebServer(options)
    } catch (error) {
      pauseMs = growPause(pauseMs, Date.now() - startedAt)
      reportDeath('Web server')(formatError(error), pauseMs)
      await wait(pauseMs)
    }
  }
}

/** @returns the names of those that have not stopped in time. */
async function stopAll(parts: Record<string, () => Promise<void>>): Promise<string[]> {
  const late = new Set(Object.keys(parts))
  const stopped = Object.entries(parts).map(([name, stop]) => stop().then(() => late.delete(name)))
  await Promise.race([Promise.all(stopped), wait(STOP_TIMEOUT_MS, undefined, { ref: false })])
  return [...late]
}

async function nothing() {}

function getAddress(port: number): string {
  return getEnvironment().url ?? `http://localhost:${port}`
}

function describe(wantedPort: number, port: number): string {
  const { host, url } = getEnvironment()
  const moved = port === wantedPort ? '' : `Port ${wantedPort} is taken; using the next free one.\n`
  return `${moved}${host ? `Listens on ${host}, as ${url}.` : 'Listens on this machine only (127.0.0.1).'}`
}

const reportDeath = (name: string) => (why: string, pauseMs: number) =>
  log('!', name, `${why} Starting again in ${pauseMs / 1000} s.`)

/** Sends mail from this process. */
async function keepMails(url: string, address: string): Promise<() => Promise<void>> {
  const { smtpUrl, smtpCa, from, outbox } = getMailSettings(address)
  const { secret, dataDir, mailReplyTo } = getEnvironment()
  const site = { url: address, from, replyTo: mailReplyTo, secret: ensureSignInSecret(secret, dataDir) }
  const onFault = (sentence: string) => log('!', 'Mails', sentence)
  return keepRunning({
    start: async () => {
      const stop = await startMails({ url, site, smtpUrl, smtpCa, outbox, onFault })
      // Once started, the delivery retries by itself what fails.
      return { onDeath: () => {}, stop }
    },
    onDeath: reportDeath('Mails'),
    onRestart: () => log('✓', 'Mails', 'Sends mail again.'),
    mayFailFirst: true,
  })
}
