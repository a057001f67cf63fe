import { log, stopProgress } from './steps'
import { onNpmGone } from './watchParent'

/** npm passes Ctrl-C on to a child that has it from the terminal already, so two signals this close are one press, ms. */
const SAME_PRESS_MS = 500

/** How long everything may take to end after a signal, ms: a supervisor kills after ten seconds, on a busy machine too. */
const SIGNAL_LIMIT_MS = 8_000

/** Ends something within a time, ms. @returns a sentence about what had to be cut off; null if nothing had to. */
type Close = (limitMs: number) => Promise<string | null>

/** Closed in reverse order when the command ends, whatever ends it. */
const closers: { name: string; close: Close }[] = []
let isShuttingDown = false

export function closeOnShutdown(name: string, close: Close) {
  closers.push({ name, close })
}

/** Closes everything and exits with `code`; what is not closed after `limitMs` is cut off. */
export async function shutDown(code: number, limitMs = Number.POSITIVE_INFINITY): Promise<never> {
  if (isShuttingDown) return new Promise(() => {})
  isShuttingDown = true
  const startedAt = performance.now()
  stopProgress()
  for (const { name, close } of closers.reverse()) {
    try {
      const cut = await close(limitMs - (performance.now() - startedAt))
      if (cut !== null) process.stderr.write(`! ${cut}\n`)
    } catch (error) {
      process.stderr.write(`✗ ${name} could not be stopped: ${(error as Error).message}\n`)
      process.exitCode = 1
    }
  }
  process.exit(code || process.exitCode || 0)
}

/**
 * Shuts down on Ctrl-C, SIGTERM, a closed terminal, or the end of the npm that runs this command. A second signal exits
 * at once; PostgreSQL and the web server then end by themselves.
 */
export function shutDownOnSignals() {
  let firstAt: number | null = null
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) {
    process.on(signal, () => {
      if (firstAt !== null && Date.now() - firstAt > SAME_PRESS_MS) process.exit(1)
      firstAt ??= Date.now()
      if (isShuttingDown) return
      log('·', 'Stopping', 'Closing the web server and the database. Press again to stop at once.')
      void shutDown(0, SIGNAL_LIMIT_MS)
    })
  }
  onNpmGone(() => {
    if (isShuttingDown) return
    log('·', 'Stopping', 'npm, which started Holdfast, is gone. Closing the web server and the database.')
    void shutDown(1, SIGNAL_LIMIT_MS)
  })
  // A closed terminal refuses what is written to it; the shutdown goes on.
  for (const stream of [process.stdout, process.stderr]) stream.on('error', () => {})
}
