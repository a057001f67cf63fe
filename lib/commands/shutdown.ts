import { log, stopProgress } from './steps'
import { onNpmGone } from './watchParent'

/** npm passes Ctrl-C on to a child that has it from the terminal already, so two signals this close are one press, ms. */
const SAME_PRESS_MS = 500

/** Closed in reverse order when the command ends, whatever ends it. */
const closers: { name: string; close: () => Promise<void> }[] = []
let isShuttingDown = false

export function closeOnShutdown(name: string, close: () => Promise<void>) {
  closers.push({ name, close })
}

/** Closes everything and exits with `code`. */
export async function shutDown(code: number): Promise<never> {
  if (isShuttingDown) return new Promise(() => {})
  isShuttingDown = true
  stopProgress()
  for (const { name, close } of closers.reverse()) {
    try {
      await close()
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
      void shutDown(0)
    })
  }
  onNpmGone(() => {
    if (isShuttingDown) return
    log('·', 'Stopping', 'npm, which started Holdfast, is gone. Closing the web server and the database.')
    void shutDown(1)
  })
  // A closed terminal refuses what is written to it; the shutdown goes on.
  for (const stream of [process.stdout, process.stderr]) stream.on('error', () => {})
}
